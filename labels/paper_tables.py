"""Tables of a paper: the caller's own, the facts at its head, and the large answers.

Rows are separated by hairs and headed by a firm line; a row that is longer than a page is
carried over, so that no words are ever lost.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, TypeAlias

from reportlab.lib.colors import black
from reportlab.platypus import Flowable, LongTable, TableStyle

from labels.fonts import Weight
from labels.paper import Align, Cell, Column, Marked, PaperFault, StatusLine, Strong, Table, Tick
from labels.paper_parts import Sign, TickBox, words
from labels.paper_style import (
    BODY_SIZE,
    HAIR,
    HAIR_INK,
    MEDIUM,
    MM,
    SIGN_SIDE,
    SMALL_SIZE,
    TEXT_WIDTH,
    style,
)
from labels.wording import joined

Command: TypeAlias = tuple[str, tuple[int, int], tuple[int, int], *tuple[object, ...]]
"""A line or a padding for cells from one corner to another, as the PDF library takes it."""

LEAST_COLUMN: Final = 9 * MM
_MOST_TITLE: Final = 80
_FACTS_A_ROW: Final = 3
_PAD: Final = 1.8 * MM


def table(block: Table) -> Flowable:
    """A table as wide as the page, with its header on every page it reaches."""
    widths = column_widths(block.columns)
    head = [_title(column) for column in block.columns]
    rows = [_row(row, block.columns) for row in block.rows]
    commands: list[Command] = [
        ("LINEBELOW", (0, 0), (-1, 0), MEDIUM, black),
        ("LINEBELOW", (0, 1), (-1, -1), HAIR, HAIR_INK),
        ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
    ]
    if not rows:
        rows = [[[words(block.empty, style(BODY_SIZE))], *[[]] * (len(widths) - 1)]]
        commands.append(("SPAN", (0, 1), (-1, 1)))
    return grid([head, *rows], widths, commands, repeat=1)


def column_widths(columns: Sequence[Column]) -> list[float]:
    """Widths in points that fill the page. Raises PaperFault where a column gets too narrow."""
    fixed = sum(column.width_mm * MM for column in columns if column.width_mm is not None)
    shares = sum(column.share for column in columns if column.width_mm is None)
    left_over = TEXT_WIDTH - fixed
    widths = [
        column.width_mm * MM if column.width_mm is not None else left_over * column.share / shares
        for column in columns
    ]
    for column, width in zip(columns, widths, strict=True):
        if width < LEAST_COLUMN - 0.01 or left_over < -0.01:
            raise PaperFault(
                f"The column {column.title!r} would be {width / MM:.1f} mm wide: the columns "
                f"must fit {TEXT_WIDTH / MM:.0f} mm, each at least {LEAST_COLUMN / MM:.0f} mm."
            )
    return widths


def facts_table(facts: Sequence[tuple[str, str]]) -> Flowable:
    """What the paper is about: a small label above each value, three side by side."""
    cells = [
        [words(joined(label), style(SMALL_SIZE)), words(joined(value), style(10.5, Weight.BOLD))]
        for label, value in facts
    ]
    cells += [[]] * (-len(cells) % _FACTS_A_ROW)
    rows = [cells[start : start + _FACTS_A_ROW] for start in range(0, len(cells), _FACTS_A_ROW)]
    return grid(rows, [TEXT_WIDTH / _FACTS_A_ROW] * _FACTS_A_ROW, [], pad_y=1.1 * MM)


def status_table(lines: Sequence[StatusLine]) -> Flowable:
    """Large answers in a frame, one below the other, each with its own sign."""
    size, side = 12.5, 6 * MM
    rows = [
        [
            [Sign(line.shape, side)],
            [words(joined(line.label), style(size))],
            [words(joined(line.state), style(size, Weight.BOLD, align=Align.RIGHT))],
        ]
        for line in lines
    ]
    widths = [13 * MM, (TEXT_WIDTH - 13 * MM) * 0.6, (TEXT_WIDTH - 13 * MM) * 0.4]
    commands: list[Command] = [
        ("BOX", (0, 0), (-1, -1), MEDIUM, black),
        ("LINEBELOW", (0, 0), (-1, -2), HAIR, HAIR_INK),
        ("LEFTPADDING", (0, 0), (0, -1), 3 * MM),
        ("RIGHTPADDING", (-1, 0), (-1, -1), 4 * MM),
    ]
    return grid(rows, widths, commands, pad_y=3 * MM)


def framed(content: Sequence[Flowable], line: float) -> Flowable:
    """Anything in a frame as wide as the page."""
    commands: list[Command] = [
        ("BOX", (0, 0), (-1, -1), line, black),
        ("LEFTPADDING", (0, 0), (-1, -1), 4 * MM),
        ("RIGHTPADDING", (0, 0), (-1, -1), 4 * MM),
    ]
    return grid([[list(content)]], [TEXT_WIDTH], commands, pad_y=3 * MM)


def _title(column: Column) -> list[Flowable]:
    text = joined(column.title)
    shown = text if len(text) <= _MOST_TITLE else text[: _MOST_TITLE - 1] + "…"
    return [words(shown, style(SMALL_SIZE + 0.5, Weight.BOLD, align=column.align))]


def _row(cells: Sequence[Cell], columns: Sequence[Column]) -> list[list[Flowable]]:
    return [_cell(cell, column.align) for cell, column in zip(cells, columns, strict=True)]


def _cell(cell: Cell, align: Align) -> list[Flowable]:
    match cell:
        case Tick():
            return [TickBox(align)]
        case Strong(text):
            return [words(text, style(BODY_SIZE, Weight.BOLD, align=align))]
        case Marked(shape, text):
            indent = SIGN_SIDE + 1.4 * MM
            sign = Sign(shape, SIGN_SIDE, down=0.35 * MM)
            return [sign, words(text, style(BODY_SIZE, Weight.BOLD, indent=indent))]
        case str():
            return [words(cell, style(BODY_SIZE, align=align))]


def grid(
    rows: Sequence[Sequence[object]],
    widths: Sequence[float],
    commands: Sequence[Command],
    *,
    repeat: int = 0,
    pad_y: float = 1.5 * MM,
) -> Flowable:
    """Cells of drawn pieces in rows, as all tables of a paper look; long ones are carried over."""
    look = TableStyle(
        [
            ("FONTNAME", (0, 0), (-1, -1), Weight.REGULAR.value),
            ("FONTSIZE", (0, 0), (-1, -1), BODY_SIZE),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (0, -1), 0),
            ("LEFTPADDING", (1, 0), (-1, -1), _PAD),
            ("RIGHTPADDING", (0, 0), (-2, -1), _PAD),
            ("RIGHTPADDING", (-1, 0), (-1, -1), 0),
            ("TOPPADDING", (0, 0), (-1, -1), pad_y),
            ("BOTTOMPADDING", (0, 0), (-1, -1), pad_y),
            *commands,
        ]
    )
    return LongTable(
        [list(row) for row in rows],
        colWidths=list(widths),
        style=look,
        repeatRows=repeat,
        splitByRow=1,
        splitInRow=1,
    )
