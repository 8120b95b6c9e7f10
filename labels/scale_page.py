"""A page to try a stock with: where its labels lie, and a ruler to hold a real one against.

A printer that shrinks a page to fit puts every label beside its place and every module between
its dots. One sheet of plain paper shows it before the labels are spoilt.
"""

from __future__ import annotations

from io import BytesIO
from typing import Final

from reportlab.pdfgen.canvas import Canvas

from labels.draw_pdf import POINTS_PER_MM, new_canvas
from labels.fonts import family
from labels.stock import Stock

_HAIR_MM: Final = 0.15
_CROSS_MM: Final = 3.0
_WORDS_MM: Final = 2.6
_EDGE_MM: Final = 4.0


def scale_page(stock: Stock, words: str) -> bytes:
    """The stock's page with the outline of each label, and rulers in millimetres along two sides.

    `words` say what to do with it, in the workshop's language. The same stock gives the same bytes.
    """
    out = BytesIO()
    size = (stock.page_width_mm * POINTS_PER_MM, stock.page_height_mm * POINTS_PER_MM)
    canvas = new_canvas(out, pagesize=size, invariant=1)
    canvas.setTitle(f"Scale page for {stock.name}")
    # From here on in millimetres from the top left corner, y downwards.
    canvas.translate(0, size[1])
    canvas.scale(POINTS_PER_MM, -POINTS_PER_MM)
    canvas.setLineWidth(_HAIR_MM)
    for place in range(1, stock.labels_a_page + 1):
        _label(canvas, stock, place)
    _ruler(canvas, stock.page_width_mm, across=True)
    _ruler(canvas, stock.page_height_mm, across=False)
    _said(canvas, words, stock)
    canvas.showPage()
    canvas.save()
    return out.getvalue()


def _label(canvas: Canvas, stock: Stock, place: int) -> None:
    """Its outline, a cross at each corner, and the number to start printing at."""
    x, y = stock.corner_mm(place)
    right, foot = x + stock.label_width_mm, y + stock.label_height_mm
    canvas.rect(x, y, stock.label_width_mm, stock.label_height_mm)
    for corner_x, corner_y in ((x, y), (right, y), (x, foot), (right, foot)):
        half = _CROSS_MM / 2
        canvas.line(corner_x - half, corner_y, corner_x + half, corner_y)
        canvas.line(corner_x, corner_y - half, corner_x, corner_y + half)
    _text(canvas, str(place), x + stock.label_width_mm / 2, y + stock.label_height_mm / 2, 8.0)


def _ruler(canvas: Canvas, length_mm: float, *, across: bool) -> None:
    """A tick each millimetre, longer at five and ten, numbers each ten."""
    whole_tens = int((length_mm - 2 * _EDGE_MM) // 10) * 10
    for mm in range(whole_tens + 1):
        tick = 3.5 if mm % 10 == 0 else 2.5 if mm % 5 == 0 else 1.5
        at = _EDGE_MM + mm
        start, end = (at, _EDGE_MM), (at, _EDGE_MM + tick)
        if across:
            canvas.line(*start, *end)
        else:
            canvas.line(start[1], start[0], end[1], end[0])
        if mm % 10 == 0 and mm:
            x, y = (at, _EDGE_MM + 6) if across else (_EDGE_MM + 6, at + 1)
            _text(canvas, str(mm), x, y, 2.2)


def _said(canvas: Canvas, words: str, stock: Stock) -> None:
    if stock.page_height_mm > 100:
        _text(canvas, words, stock.page_width_mm / 2, stock.page_height_mm - _EDGE_MM, _WORDS_MM)


def _text(canvas: Canvas, text: str, x: float, y: float, size_mm: float) -> None:
    canvas.saveState()
    canvas.translate(x, y)
    canvas.scale(1, -1)
    canvas.setFont(family(), size_mm)
    canvas.drawCentredString(0, 0, text)
    canvas.restoreState()
