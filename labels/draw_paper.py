"""Draws a paper as a PDF on A4: its head, its blocks, and what is repeated on every page.

The pages are drawn twice, first to learn how many there are and then with "page x of y". Two
runs over the same paper give the same bytes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from io import BytesIO
from typing import Final, TypeAlias

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    HRFlowable,
    PageTemplate,
    Spacer,
)
from reportlab.platypus import KeepTogether as Kept

from labels.draw_pdf import new_canvas
from labels.fit import one_line
from labels.fonts import Weight, family, width_mm
from labels.paper import (
    Block,
    Caution,
    Danger,
    Heading,
    KeepTogether,
    Paper,
    Paragraph,
    Pictures,
    Signature,
    Table,
    TwoLines,
)
from labels.paper_parts import Sign, SignLines, words
from labels.paper_pictures import pictures_side_by_side
from labels.paper_style import (
    BODY_SIZE,
    HAIR,
    MARGIN_FOOT,
    MARGIN_SIDE,
    MARGIN_TOP,
    MEDIUM,
    MM,
    PAGE_HEIGHT,
    PAGE_WIDTH,
    RUNNING_HEAD,
    SMALL_SIZE,
    TEXT_WIDTH,
    THICK,
    style,
)
from labels.paper_tables import facts_table, framed, status_table, table
from labels.wording import joined

_OnPage: TypeAlias = Callable[[Canvas, BaseDocTemplate], None]

_RUNNING_FACTS: Final = 3
"""Facts repeated on every page: the first ones, so the job comes first."""

_HEADING_NEEDS: Final = 32 * MM
"""A heading this near the foot of a page goes to the next, with what it heads."""


def paper_pdf(paper: Paper) -> bytes:
    """The paper as a PDF file. Raises PaperFault where a table's columns cannot fit the page."""
    family()
    _, pages = _drawn(paper, 0)
    data, _ = _drawn(paper, pages)
    return data


def _drawn(paper: Paper, pages: int) -> tuple[bytes, int]:
    out = BytesIO()
    document = BaseDocTemplate(
        out,
        pagesize=(PAGE_WIDTH, PAGE_HEIGHT),
        pageTemplates=_templates(paper, pages),
        title=joined(paper.title),
        invariant=1,
    )
    document.build([*_head(paper), *_story(paper.blocks)], canvasmaker=new_canvas)
    return out.getvalue(), document.page


def _templates(paper: Paper, pages: int) -> list[PageTemplate]:
    def foot(canvas: Canvas, document: BaseDocTemplate) -> None:
        _draw_foot(canvas, paper, f"Page {document.page} of {pages}")

    def head_and_foot(canvas: Canvas, document: BaseDocTemplate) -> None:
        _draw_running_head(canvas, paper)
        foot(canvas, document)

    return [
        PageTemplate("first", [_frame(0.0)], onPage=foot, autoNextPageTemplate="later"),
        PageTemplate("later", [_frame(RUNNING_HEAD)], onPage=head_and_foot),
    ]


def _frame(head: float) -> Frame:
    height = PAGE_HEIGHT - MARGIN_TOP - MARGIN_FOOT - head
    return Frame(
        MARGIN_SIDE,
        MARGIN_FOOT,
        TEXT_WIDTH,
        height,
        leftPadding=0,
        rightPadding=0,
        topPadding=0,
        bottomPadding=0,
    )


def _head(paper: Paper) -> Iterator[Flowable]:
    yield _line(THICK, after=4 * MM)
    yield words(joined(paper.title), style(20, Weight.BOLD, after=1 * MM))
    if paper.subtitle:
        yield words(joined(paper.subtitle), style(11.5))
    yield Spacer(0, 3 * MM)
    if paper.facts:
        yield _line(HAIR, after=1 * MM)
        yield facts_table(paper.facts)
        yield _line(HAIR, before=1 * MM)
    yield Spacer(0, 4 * MM)


def _story(blocks: tuple[Block, ...]) -> list[Flowable]:
    return [flowable for block in blocks for flowable in _flowables(block)]


def _flowables(block: Block) -> list[Flowable]:
    match block:
        case Heading():
            return _heading(block)
        case Paragraph(text):
            return [words(text, style(BODY_SIZE, after=2.5 * MM))]
        case Caution():
            return [Spacer(0, 1.5 * MM), _caution(block), Spacer(0, 4 * MM)]
        case Table():
            return [table(block), Spacer(0, 5 * MM)]
        case TwoLines(lines):
            return [Spacer(0, 1.5 * MM), status_table(lines), Spacer(0, 5 * MM)] if lines else []
        case Pictures(pictures):
            return [pictures_side_by_side(pictures), Spacer(0, 3 * MM)] if pictures else []
        case Signature(labels):
            return [SignLines(labels, TEXT_WIDTH), Spacer(0, 3 * MM)] if labels else []
        case KeepTogether(inner):
            return [Kept(_story(inner))] if inner else []


def _heading(block: Heading) -> list[Flowable]:
    size, before = (14.0, 5 * MM) if block.level == 1 else (11.0, 3 * MM)
    look = style(size, Weight.BOLD, before=before, after=2 * MM)
    return [CondPageBreak(_HEADING_NEEDS), words(joined(block.text), look)]


def _caution(block: Caution) -> Flowable:
    side = 11 * MM
    indent = side + 4 * MM
    return framed(
        [
            Sign(block.danger.shape, side),
            words(block.danger.value, style(11.5, Weight.BOLD, indent=indent, after=0.5 * MM)),
            words(block.text, style(10.5, indent=indent)),
        ],
        THICK if block.danger is Danger.HIGH_VOLTAGE else MEDIUM,
    )


def _line(thickness: float, *, before: float = 0.0, after: float = 0.0) -> Flowable:
    return HRFlowable(
        "100%", thickness, lineCap="butt", color="black", spaceBefore=before, spaceAfter=after
    )


def _draw_running_head(canvas: Canvas, paper: Paper) -> None:
    """The title on the left, the facts on the right, for a page that comes loose."""
    size = SMALL_SIZE + 0.5
    y = PAGE_HEIGHT - MARGIN_TOP
    title = one_line(joined(paper.title), TEXT_WIDTH * 0.45, size, Weight.BOLD)
    facts = joined(*(f"{label} {value}" for label, value in paper.facts[:_RUNNING_FACTS]))
    room = TEXT_WIDTH - width_mm(title, size, Weight.BOLD) - 6 * MM
    canvas.setFont(Weight.BOLD.value, size)
    canvas.drawString(MARGIN_SIDE, y, title)
    canvas.setFont(Weight.REGULAR.value, size)
    canvas.drawRightString(PAGE_WIDTH - MARGIN_SIDE, y, one_line(facts, room, size, Weight.REGULAR))
    canvas.setLineWidth(MEDIUM)
    canvas.line(MARGIN_SIDE, y - 2.5 * MM, PAGE_WIDTH - MARGIN_SIDE, y - 2.5 * MM)


def _draw_foot(canvas: Canvas, paper: Paper, number: str) -> None:
    y = MARGIN_FOOT - 9 * MM
    room = TEXT_WIDTH - width_mm(number, SMALL_SIZE, Weight.BOLD) - 6 * MM
    canvas.setLineWidth(HAIR)
    canvas.line(MARGIN_SIDE, y + 4 * MM, PAGE_WIDTH - MARGIN_SIDE, y + 4 * MM)
    canvas.setFont(Weight.REGULAR.value, SMALL_SIZE)
    footer = one_line(joined(paper.footer), room, SMALL_SIZE, Weight.REGULAR)
    canvas.drawString(MARGIN_SIDE, y, footer)
    canvas.setFont(Weight.BOLD.value, SMALL_SIZE)
    canvas.drawRightString(PAGE_WIDTH - MARGIN_SIDE, y, number)
