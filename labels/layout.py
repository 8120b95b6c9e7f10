"""Decides where everything stands on a tag: the symbol and the code above, the words below.

Pure geometry in millimetres. The symbol's place and size come first, in whole printer dots and
with its quiet zone kept free, because a tag that cannot be scanned is bypassed. The words get
the rest (`fit` says how), and at the foot there is always at least one line to write on.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, floor
from typing import Final

from labels.fit import (
    LEAST_SIZE_MM,
    ROW_GAP_MM,
    SIGN_GAP_MM,
    Fitted,
    LayoutFault,
    Row,
    cut,
    least_mm,
    line_texts,
    one_line,
    whole,
)
from labels.fonts import DESCENT, LINE_PITCH, Weight
from labels.head import head_items
from labels.items import Box, Item, Mark, Rule, Symbol, Text
from labels.shapes import Shape
from labels.stock import Stock
from labels.symbol import QUIET_MODULES, Correction, symbol
from labels.tag import TagFace
from labels.wording import joined, plain

MM_PER_INCH: Final = 25.4

LEAST_MODULE_MM: Final = 0.33
"""Four dots at 300 dpi, the least the inventor of the QR Code advises for printing."""

_SYMBOL_SHARE_OF_HEIGHT: Final = 0.44
_SYMBOL_SHARE_OF_WIDTH: Final = 0.33
_WRITE_ON_LIKED_MM: Final = 7.0
_WRITE_ON_LEAST_MM: Final = 4.4
_WRITE_ON_MOST_MM: Final = 9.0
_HAIR_MM: Final = 0.2
_HEAD_GAP_MM: Final = 4 * _HAIR_MM
_BODY_LEAST_MM: Final = _HEAD_GAP_MM + least_mm(5, framed=1) + _WRITE_ON_LEAST_MM


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSize:
    """One label: its measures, the edge where printing may drift, and the printer's dots."""

    width_mm: float
    height_mm: float
    inset_mm: float
    dpi: int

    @property
    def dot_mm(self) -> float:
        """Side of one printer dot."""
        return MM_PER_INCH / self.dpi

    @property
    def inner_width_mm(self) -> float:
        """Width that words may use."""
        return self.width_mm - 2 * self.inset_mm


def label_size(stock: Stock) -> LabelSize:
    """The size of one label of a stock."""
    return LabelSize(
        width_mm=stock.label_width_mm,
        height_mm=stock.label_height_mm,
        inset_mm=stock.inset_mm,
        dpi=stock.dpi,
    )


def lay_out(face: TagFace, size: LabelSize) -> tuple[Item, ...]:
    """Everything on the tag and where it stands, from the label's top left corner.

    Raises PayloadFault for a payload no tag can carry and LayoutFault for a label too small.
    """
    code = placed_symbol(face.symbol_payload, size)
    quiet_mm = QUIET_MODULES * code.module_mm
    head_foot = code.y_mm + code.side_mm + quiet_mm
    head_x = code.x_mm + code.side_mm + quiet_mm
    head_width = size.width_mm - size.inset_mm - head_x
    body_top = head_foot + _HEAD_GAP_MM
    return (
        code,
        *head_items(face, head_x, code.y_mm, width=head_width, foot=head_foot),
        Rule(size.inset_mm, head_foot + _HAIR_MM, size.inner_width_mm, _HAIR_MM),
        *_body(_rows(face, size), body_top, size, lines=face.lines),
    )


def placed_symbol(payload: str, size: LabelSize) -> Symbol:
    """The symbol with its corner and its modules on whole printer dots.

    Raises LayoutFault where even its least modules and its quiet zone do not fit on the label.
    """
    code = symbol(payload, Correction.Q)
    dots = _module_dots(code.modules, size)
    corner_mm = _corner_dots(dots, size) * size.dot_mm
    if _foot_mm(code.modules, dots, size) > size.height_mm - size.inset_mm:
        raise LayoutFault(
            f"The symbol needs modules of {LEAST_MODULE_MM:g} mm to be read by hand scanners, and "
            f"does not fit on a label of {size.width_mm:g} x {size.height_mm:g} mm so. Take larger "
            "labels, or a shorter public address."
        )
    return Symbol(corner_mm, corner_mm, dots * size.dot_mm, code.matrix)


def _module_dots(modules: int, size: LabelSize) -> int:
    """As large as its share of the label allows while a full tag's words still find room."""
    with_quiet = modules + 2 * QUIET_MODULES
    share_mm = min(size.height_mm * _SYMBOL_SHARE_OF_HEIGHT, size.width_mm * _SYMBOL_SHARE_OF_WIDTH)
    room_mm = size.height_mm - size.inset_mm - _BODY_LEAST_MM
    least = ceil(LEAST_MODULE_MM / size.dot_mm)
    dots = max(least, floor(share_mm / with_quiet / size.dot_mm))
    while dots > least and _foot_mm(modules, dots, size) > room_mm:
        dots -= 1
    return dots


def _corner_dots(module_dots: int, size: LabelSize) -> int:
    return max(QUIET_MODULES * module_dots, ceil(size.inset_mm / size.dot_mm))


def _foot_mm(modules: int, module_dots: int, size: LabelSize) -> float:
    """How far down the symbol and its quiet zone reach."""
    below = (modules + QUIET_MODULES) * module_dots
    return (_corner_dots(module_dots, size) + below) * size.dot_mm


def _rows(face: TagFace, size: LabelSize) -> tuple[Row, ...]:
    """The rows below the symbol from top to bottom; the lowest importance is cut last."""
    liked = min(3.8, max(2.9, size.height_mm / 14))
    rows = (
        Row(
            text=joined(face.count, face.part),
            size_mm=liked * 1.15,
            importance=3,
            weight=Weight.BOLD,
        ),
        Row(text=joined(face.step, face.position), size_mm=liked, importance=4),
        Row(
            text=joined(face.rule),
            size_mm=liked,
            importance=0,
            weight=Weight.BOLD,
            shape=face.rule_shape,
            framed=True,
        ),
        Row(
            text=joined(face.lookalike),
            size_mm=liked,
            importance=2,
            weight=Weight.BOLD,
            shape=Shape.WARNING,
        ),
        Row(text=joined(*face.cautions), size_mm=liked, importance=1, shape=Shape.WARNING),
    )
    return tuple(row for row in rows if row.text)


def _body(
    rows: Sequence[Row], top: float, size: LabelSize, *, lines: tuple[str, ...]
) -> Iterator[Item]:
    foot = size.height_mm - size.inset_mm
    room = foot - top - _WRITE_ON_LEAST_MM
    fitted = whole(rows, size.inner_width_mm, room) or cut(rows, size.inner_width_mm, room)
    y = top
    for one in fitted:
        yield from _row_items(one, size.inset_mm, y, width=size.inner_width_mm)
        y += one.height_mm + ROW_GAP_MM
    if lines:
        yield from _filled_in_by_hand(lines, y if fitted else top, foot, size)
    else:
        yield from _write_on(y if fitted else top, foot, size)


def _row_items(one: Fitted, x: float, y: float, *, width: float) -> Iterator[Item]:
    row, size_mm = one.row, one.size_mm
    if row.framed:
        yield Box(x, y, width, one.height_mm, 0.35)
    inner_y = y + (one.height_mm - len(one.lines) * size_mm * LINE_PITCH) / 2
    if row.shape:
        sign_x = x + row.indent_mm(size_mm) - row.sign_mm(size_mm) - SIGN_GAP_MM
        yield Mark(sign_x, inner_y, row.sign_mm(size_mm), row.shape)
    yield from line_texts(one, x + row.indent_mm(size_mm), inner_y)


def _filled_in_by_hand(
    lines: Sequence[str], top: float, foot: float, size: LabelSize
) -> Iterator[Item]:
    """As many of the lines as there is room for, the first ones first, each with its word."""
    room = foot - top
    count = max(1, min(len(lines), floor(room / _WRITE_ON_LEAST_MM)))
    pitch = min(_WRITE_ON_MOST_MM, room / count)
    for k, word in enumerate(lines[:count]):
        y = foot - _HAIR_MM / 2 - (count - 1 - k) * pitch
        text = one_line(plain(word), size.inner_width_mm / 3, LEAST_SIZE_MM, Weight.REGULAR)
        baseline = y - _HAIR_MM / 2 - DESCENT * LEAST_SIZE_MM
        yield Text(size.inset_mm, baseline, LEAST_SIZE_MM, Weight.REGULAR, text)
        yield Rule(size.inset_mm, y, size.inner_width_mm, _HAIR_MM)


def _write_on(top: float, foot: float, size: LabelSize) -> Iterator[Item]:
    """Lines to write on, from the foot upwards, a hand's writing apart."""
    room = foot - top
    lines = max(1, floor(room / _WRITE_ON_LIKED_MM))
    pitch = min(_WRITE_ON_MOST_MM, room / lines)
    for k in reversed(range(lines)):
        y = foot - _HAIR_MM / 2 - k * pitch
        yield Rule(size.inset_mm, y, size.inner_width_mm, _HAIR_MM)
