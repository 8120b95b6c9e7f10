"""Draws tags as a PDF for sheets of labels, in lines and letters that stay sharp at any size.

Two runs over the same tags give the same bytes, so that a print can be compared with what was
ordered. A half-used sheet is not wasted: printing may begin at any of its labels.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from io import BytesIO
from itertools import groupby
from typing import Any, Final

from reportlab.lib.colors import black, white
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from labels.fonts import family
from labels.items import Box, Dashes, Item, Mark, Ring, Rule, Symbol, Text
from labels.layout import MM_PER_INCH, label_size
from labels.on_stock import items_on
from labels.shapes import Shape, patches
from labels.stock import Stock
from labels.tag import TagFace

POINTS_PER_MM: Final = 72 / MM_PER_INCH

MOST_TAGS: Final = 2000
"""Tags in one file; more is asked for in several."""


class SheetFault(ValueError):
    """Tags cannot be put on the sheet like that; the text tells what to change."""


@dataclass(frozen=True, slots=True)
class Corner:
    """A label's top left corner on a page, in points from the page's own corner."""

    x: float
    y: float

    def across(self, x_mm: float) -> float:
        """A place on the label as the page's x."""
        return self.x + x_mm * POINTS_PER_MM

    def up(self, y_mm: float) -> float:
        """A place on the label as the page's y, which runs upwards."""
        return self.y - y_mm * POINTS_PER_MM


def sheet_pdf(faces: Sequence[TagFace], stock: Stock, *, start_at: int = 1) -> bytes:
    """Tags in their order on sheets of a stock, from label `start_at` of the first sheet on.

    Raises SheetFault for no tags, too many, or a label the sheet does not have.
    """
    _checked(faces, stock, start_at)
    out = BytesIO()
    page_size = (stock.page_width_mm * POINTS_PER_MM, stock.page_height_mm * POINTS_PER_MM)
    canvas = new_canvas(out, pagesize=page_size, invariant=1)
    canvas.setTitle(f"Tags on {stock.name}")
    for page in _pages(faces, stock, start_at):
        _draw_page(canvas, page, stock)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def new_canvas(*args: Any, **kwargs: Any) -> Canvas:
    """A canvas that begins in our typeface; by default it would name one it does not embed."""
    return Canvas(*args, **{**kwargs, "initialFontName": family()})


def draw_mark(canvas: Canvas, shape: Shape, x: float, y: float, side: float) -> None:
    """A sign in a square whose top left corner is x, y; all in points, y upwards."""
    for patch in patches(shape):
        canvas.setFillColor(black if patch.black else white)
        path = canvas.beginPath()
        first, *others = patch.points
        path.moveTo(x + first[0] * side, y - first[1] * side)
        for across, down in others:
            path.lineTo(x + across * side, y - down * side)
        path.close()
        canvas.drawPath(path, stroke=0, fill=1)
    canvas.setFillColor(black)


def _checked(faces: Sequence[TagFace], stock: Stock, start_at: int) -> None:
    if not faces:
        raise SheetFault("There are no tags to print.")
    if len(faces) > MOST_TAGS:
        raise SheetFault(f"{len(faces)} tags are too many for one file; at most {MOST_TAGS}.")
    if not 1 <= start_at <= stock.labels_a_page:
        raise SheetFault(
            f"The sheet has labels 1 to {stock.labels_a_page}; printing can't start at {start_at}."
        )


def _pages(
    faces: Sequence[TagFace], stock: Stock, start_at: int
) -> Iterator[list[tuple[int, TagFace]]]:
    """For each page, the places on it and their tags."""
    numbered = enumerate(faces, start=start_at - 1)
    for _, page in groupby(numbered, key=lambda pair: pair[0] // stock.labels_a_page):
        yield [(number % stock.labels_a_page + 1, face) for number, face in page]


def _draw_page(canvas: Canvas, page: Sequence[tuple[int, TagFace]], stock: Stock) -> None:
    size = label_size(stock)
    for place, face in page:
        # A label's corner is moved to the nearest printer dot, or the modules of its symbol
        # would be printed with unequal numbers of dots.
        x_mm, y_mm = (round(mm / size.dot_mm) * size.dot_mm for mm in stock.corner_mm(place))
        corner = Corner(x_mm * POINTS_PER_MM, (stock.page_height_mm - y_mm) * POINTS_PER_MM)
        for item in items_on(face, stock):
            _draw_item(canvas, item, corner)


def _draw_item(canvas: Canvas, item: Item, corner: Corner) -> None:
    match item:
        case Text():
            _draw_text(canvas, item, corner)
        case Rule():
            canvas.setLineWidth(item.line_mm * POINTS_PER_MM)
            y = corner.up(item.y_mm)
            canvas.line(corner.across(item.x_mm), y, corner.across(item.x_mm + item.length_mm), y)
        case Box():
            _draw_box(canvas, item, corner)
        case Symbol():
            canvas.drawPath(_symbol_path(canvas, item, corner), stroke=0, fill=1)
        case Mark():
            x, y = corner.across(item.x_mm), corner.up(item.y_mm)
            draw_mark(canvas, item.shape, x, y, item.size_mm * POINTS_PER_MM)
        case Ring():
            canvas.setLineWidth(item.line_mm * POINTS_PER_MM)
            radius = item.across_mm / 2 * POINTS_PER_MM
            canvas.circle(corner.across(item.x_mm), corner.up(item.y_mm), radius)
        case Dashes():
            canvas.setLineWidth(item.line_mm * POINTS_PER_MM)
            canvas.setDash(item.dash_mm * POINTS_PER_MM)
            y = corner.up(item.y_mm)
            canvas.line(corner.across(item.x_mm), y, corner.across(item.x_mm + item.length_mm), y)
            canvas.setDash()


def _draw_text(canvas: Canvas, item: Text, corner: Corner) -> None:
    canvas.setFillColor(white if item.white else black)
    canvas.setFont(item.weight.value, item.size_mm * POINTS_PER_MM)
    canvas.drawString(corner.across(item.x_mm), corner.up(item.y_mm), item.text)
    canvas.setFillColor(black)


def _draw_box(canvas: Canvas, item: Box, corner: Corner) -> None:
    inset = 0.0 if item.filled else item.line_mm / 2
    canvas.setLineWidth(item.line_mm * POINTS_PER_MM)
    canvas.rect(
        corner.across(item.x_mm + inset),
        corner.up(item.y_mm + item.height_mm - inset),
        (item.width_mm - 2 * inset) * POINTS_PER_MM,
        (item.height_mm - 2 * inset) * POINTS_PER_MM,
        stroke=0 if item.filled else 1,
        fill=1 if item.filled else 0,
    )


def _symbol_path(canvas: Canvas, item: Symbol, corner: Corner) -> PDFPathObject:
    """All dark modules as one path, each run of a row as one rectangle."""
    path = canvas.beginPath()
    side = item.module_mm * POINTS_PER_MM
    left = corner.across(item.x_mm)
    for j, row in enumerate(item.matrix):
        foot = corner.up(item.y_mm + (j + 1) * item.module_mm)
        for first, length in _dark_runs(row):
            path.rect(left + first * side, foot, length * side, side)
    return path


def _dark_runs(row: Sequence[bool]) -> Iterator[tuple[int, int]]:
    place = 0
    for dark, run in groupby(row):
        length = len(list(run))
        if dark:
            yield place, length
        place += length
