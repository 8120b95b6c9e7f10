"""Tags and papers: text and a code go in, a picture or a PDF comes out.

The package stands alone so that what is printed can be judged, measured and read back without a
job, a database or a running service. A symbol (`symbol`), where things stand on a label
(`layout`) and how they are drawn (`draw_png`, `draw_pdf`) are three things, and each is tested
by itself.
"""
