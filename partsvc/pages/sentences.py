"""What the service itself says, in the reader's language: refusals, findings, cautions.

The rules of the house are written in English, each sentence beside the rule that says it, with
numbers and names put in. A reader of another language gets it by its form: `words/<language>.said`
holds forms with their counterparts. A sentence no form fits stays English, and is marked as such
for those who listen to the page.
"""

from __future__ import annotations

from markupsafe import Markup, escape

from partsvc.pages.words import language


def said(text: str) -> Markup:
    """A sentence of the service, ready to stand on a page."""
    if not text or language() == "en":
        return escape(text)
    return Markup('<span lang="en">{}</span>').format(text)
