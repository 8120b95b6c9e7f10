"""The part of a tag beside its symbol: what kind of tag, its code in large type, whose job.

This is what is read across a bench, so the code is set as large as the space allows.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from labels.fit import LEAST_SIZE_MM, LayoutFault, Row, cut, line_texts, one_line, whole
from labels.fonts import ASCENT, DESCENT, LINE_PITCH, Weight, width_mm
from labels.items import Box, Item, Mark, Text
from labels.tag import Band, TagFace
from labels.wording import joined, plain

CAP_HEIGHT: Final = 0.745
"""Height of capitals and digits, round ones reach furthest, as a share of the type size."""

_TAIL: Final = 0.21
"""How far the tails of J and Q reach below the baseline, as a share of the type size."""

_GAP_MM: Final = 1.0
_PAD_X_MM: Final = 1.6
_FRAME_MM: Final = 0.35
_LEAST_CODE_MM: Final = 3.2
_CODE_SHARE: Final = 0.44
_WORDS_LIKED_MM: Final = 3.2
_KIND_LIKED_MM: Final = 3.6


def head_items(face: TagFace, x: float, y: float, *, width: float, foot: float) -> Iterator[Item]:
    """Kind, code, job and vehicle from the corner x, y down to `foot` at most."""
    kind, words = plain(face.kind), joined(face.job, face.vehicle)
    top = y
    if kind:
        room = width - (_KIND_LIKED_MM + _GAP_MM if face.kind_shape else 0.0)
        size = _kind_size_mm(kind, room, foot - y)
        side = _kind_height_mm(size)
        left = x
        if face.kind_shape:
            yield Mark(x, y, side, face.kind_shape)
            left += side + _GAP_MM
        yield from _kind_items(kind, face.kind_band, left, y, width=x + width - left, size_mm=size)
        top += _kind_height_mm(size) + _GAP_MM
    room = foot - top - (LEAST_SIZE_MM * LINE_PITCH if words else 0.0)
    size = _code_size_mm(face.shown_code, width, min(room, (foot - y) * _CODE_SHARE))
    top += CAP_HEIGHT * size
    yield Text(x, top, size, Weight.BOLD, face.shown_code)
    if words:
        yield from _words_items(words, x, top + _TAIL * size, width=width, foot=foot)


def _kind_size_mm(kind: str, width: float, height: float) -> float:
    liked = min(_KIND_LIKED_MM, height * 0.2)
    fitting = (width - 2 * _PAD_X_MM) / width_mm(kind, 1.0, Weight.BOLD)
    return max(LEAST_SIZE_MM, min(liked, fitting))


def _kind_height_mm(size_mm: float) -> float:
    return (ASCENT + DESCENT) * size_mm + 2 * _FRAME_MM


def _kind_items(
    kind: str, band: Band, x: float, y: float, *, width: float, size_mm: float
) -> Iterator[Item]:
    text = one_line(kind, width - 2 * _PAD_X_MM, size_mm, Weight.BOLD)
    box_width = width_mm(text, size_mm, Weight.BOLD) + 2 * _PAD_X_MM
    box_height = _kind_height_mm(size_mm)
    solid = band is Band.SOLID
    yield Box(x, y, box_width, box_height, _FRAME_MM, filled=solid)
    if band is Band.DOUBLE:
        yield Box(x + 0.6, y, box_width - 1.2, box_height, _FRAME_MM)
    baseline = y + _FRAME_MM + ASCENT * size_mm
    yield Text(x + _PAD_X_MM, baseline, size_mm, Weight.BOLD, text, white=solid)


def _code_size_mm(code: str, width: float, height: float) -> float:
    size = min(width / width_mm(code, 1.0, Weight.BOLD), height / (CAP_HEIGHT + _TAIL))
    if size < _LEAST_CODE_MM:
        raise LayoutFault("The label is too small for the tag's code in large type.")
    return size


def _words_items(words: str, x: float, y: float, *, width: float, foot: float) -> Iterator[Item]:
    rows = (Row(text=words, size_mm=_WORDS_LIKED_MM, importance=0),)
    fitted = whole(rows, width, foot - y) or cut(rows, width, foot - y)
    yield from line_texts(fitted[0], x, y)
