"""What stands on a label of a certain stock: a tag, a tag to be tied on, a tray's tag with pockets.

`layout` arranges one plain tag; here the hole, the stub to be torn off and the pockets are put
around it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import ceil, floor
from typing import Final

from labels.fit import LayoutFault, one_line
from labels.fonts import Weight, width_mm
from labels.head import CAP_HEIGHT, head_items
from labels.items import Box, Dashes, Item, Ring, Rule, Symbol, Text, moved
from labels.layout import LEAST_MODULE_MM, LabelSize, label_size, lay_out
from labels.stock import TRAY_HEAD_MM, Stock
from labels.symbol import QUIET_MODULES, Correction, symbol
from labels.tag import Pocket, TagFace
from labels.wording import joined

_LINE_MM: Final = 0.2
_NUMBER_MM: Final = 4.2
_CODE_MM: Final = 2.1
_GAP_MM: Final = 1.0


def items_on(face: TagFace, stock: Stock) -> tuple[Item, ...]:
    """Everything on a label and where it stands, from the label's top left corner.

    A tag without pockets on a tray's stock keeps all its words, as on any other label. Raises
    PayloadFault for a payload no tag can carry and LayoutFault for a label too small.
    """
    label = label_size(stock)
    if stock.pockets and face.pockets:
        return tuple(_tray(face, label, stock))
    # What stands below a hole is moved by whole printer dots, or modules would fall between them.
    top_mm = ceil(stock.top_mm / label.dot_mm) * label.dot_mm
    main = replace(label, height_mm=label.height_mm - top_mm - stock.stub_mm)
    shown = _to_write_on(face) if stock.write_on else face
    return (
        *(moved(item, 0.0, top_mm) for item in lay_out(shown, main)),
        *_hole(stock),
        *_stub(face, label, stock.stub_mm),
    )


def _to_write_on(face: TagFace) -> TagFace:
    """Only what a tag always has; the rest is written by hand when the bag is filled."""
    return TagFace(
        code=face.code,
        payload=face.payload,
        kind=face.kind,
        kind_band=face.kind_band,
        kind_shape=face.kind_shape,
        lines=face.lines,
    )


def _hole(stock: Stock) -> Iterator[Item]:
    if stock.hole_mm:
        yield Ring(stock.hole_x_mm, stock.hole_y_mm, stock.hole_mm, _LINE_MM)


def _stub(face: TagFace, label: LabelSize, stub_mm: float) -> Iterator[Item]:
    """The stub says the same code once more, to be kept where the bag is not."""
    if not stub_mm:
        return
    top = label.height_mm - stub_mm
    yield Dashes(0.0, top, label.width_mm, 2 * _LINE_MM)
    room = LabelSize(
        width_mm=label.width_mm, height_mm=stub_mm, inset_mm=label.inset_mm, dpi=label.dpi
    )
    x = label.inset_mm
    code = _small_symbol(face.code, x, top + _GAP_MM, stub_mm - 2 * _GAP_MM, room)
    yield code
    left = code.x_mm + code.side_mm + QUIET_MODULES * code.module_mm
    yield from _line(face.shown_code, left, top + stub_mm / 2, label, size_mm=_NUMBER_MM)
    words = joined(face.kind, face.job)
    yield from _line(words, left, top + stub_mm / 2 + _NUMBER_MM, label, size_mm=_CODE_MM)


def _line(text: str, x: float, y: float, label: LabelSize, *, size_mm: float) -> Iterator[Text]:
    room = label.width_mm - label.inset_mm - x
    shown = one_line(text, room, size_mm, Weight.BOLD) if text else ""
    if shown:
        yield Text(x, y, size_mm, Weight.BOLD, shown)


def _small_symbol(payload: str, x: float, y: float, side_mm: float, size: LabelSize) -> Symbol:
    """The largest symbol, its quiet zone around it, in a square; on whole dots."""
    code = symbol(payload, Correction.Q)
    dots = floor(side_mm / (code.modules + 2 * QUIET_MODULES) / size.dot_mm)
    if dots * size.dot_mm < LEAST_MODULE_MM:
        raise LayoutFault(
            f"A symbol of {code.modules} modules has no room in {side_mm:.1f} mm: modules under "
            f"{LEAST_MODULE_MM:g} mm are not read by hand scanners. Take larger labels, or a "
            "shorter public address."
        )
    corner_x = ceil((x + QUIET_MODULES * dots * size.dot_mm) / size.dot_mm) * size.dot_mm
    corner_y = ceil((y + QUIET_MODULES * dots * size.dot_mm) / size.dot_mm) * size.dot_mm
    return Symbol(corner_x, corner_y, dots * size.dot_mm, code.matrix)


def _tray(face: TagFace, label: LabelSize, stock: Stock) -> Iterator[Item]:
    """The tray's own symbol and words above, its pockets in rows below."""
    if len(face.pockets) > stock.pockets:
        raise LayoutFault(
            f"The tray has {len(face.pockets)} pockets, this stock has room for {stock.pockets}."
        )
    inset = label.inset_mm
    code = _small_symbol(face.symbol_payload, inset, inset, TRAY_HEAD_MM - 2, label)
    yield code
    x = code.x_mm + code.side_mm + QUIET_MODULES * code.module_mm
    foot = inset + TRAY_HEAD_MM - _GAP_MM
    yield from head_items(face, x, code.y_mm, width=label.width_mm - inset - x, foot=foot)
    width = (label.width_mm - 2 * inset) / stock.pocket_columns
    height = (label.height_mm - 2 * inset - TRAY_HEAD_MM) / stock.pocket_rows
    for place, pocket in enumerate(face.pockets):
        row, column = divmod(place, stock.pocket_columns)
        left, top = inset + column * width, inset + TRAY_HEAD_MM + row * height
        yield Box(left, top, width, height, 2 * _LINE_MM)
        yield from _pocket(pocket, left, top, width, height, label)


def _pocket(
    pocket: Pocket, left: float, top: float, width: float, height: float, label: LabelSize
) -> Iterator[Item]:
    """Its number, its code, and a line for a pencil at the foot where there is room."""
    words = width_mm(pocket.shown_code, _CODE_MM, Weight.BOLD)
    side = min(height - 2 * _GAP_MM, width - words - 3 * _GAP_MM)
    code = _small_symbol(pocket.symbol_payload, left + _GAP_MM, top + _GAP_MM, side, label)
    yield code
    x = left + width - words - _GAP_MM
    y = top + _GAP_MM + CAP_HEIGHT * _NUMBER_MM
    yield Text(x, y, _NUMBER_MM, Weight.BOLD, str(pocket.number))
    yield Text(x, y + _NUMBER_MM, _CODE_MM, Weight.BOLD, pocket.shown_code)
    yield Rule(x, top + height - 2 * _GAP_MM, words, _LINE_MM)
