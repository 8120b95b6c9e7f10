"""Signs that say the same as the words beside them, by their shape alone.

A tag is printed black on white and read by people who tell colours apart differently, so every
sign has its own outline. A sign is a stack of filled polygons in a unit square (y downwards),
black or white, painted in order; one geometry serves the picture and the PDF alike.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from math import cos, pi, sin
from typing import Final, TypeAlias

Point: TypeAlias = tuple[float, float]

_ROUND: Final = 64
"""Corners of what looks round."""


class Shape(StrEnum):
    """The signs we draw."""

    WARNING = "triangle with an exclamation mark"
    VOLTAGE = "triangle with a lightning flash"
    CROSS = "cross"
    CROSSED_BOX = "box with a cross in it"
    TICK = "tick mark"
    CIRCLE = "open circle"
    DIAMOND = "open diamond"
    HALF_DISC = "half-filled circle"
    SQUARE = "open square"
    POUCH = "pouch with a tied neck"
    STAR = "five-pointed star"
    BIN = "bin with a lid"
    SHELVES = "rack with two shelves"
    PERSON = "head and shoulders"
    HOURGLASS = "hourglass"


@dataclass(frozen=True, slots=True)
class Patch:
    """One filled polygon of a sign; a white one cuts out of what lies beneath."""

    points: tuple[Point, ...]
    black: bool


@lru_cache(maxsize=16)
def patches(shape: Shape) -> tuple[Patch, ...]:
    """The polygons of a sign within 0..1 both ways, in the order they are painted."""
    return _DRAWN[shape]


def _black(*points: Point) -> Patch:
    return Patch(points, black=True)


def _white(*points: Point) -> Patch:
    return Patch(points, black=False)


def _arc(radius: float, *, first: float = 0.0, last: float = 2 * pi) -> tuple[Point, ...]:
    step = (last - first) / _ROUND
    return tuple(
        (0.5 + radius * cos(first + step * k), 0.5 + radius * sin(first + step * k))
        for k in range(_ROUND + 1)
    )


def _bar(start: Point, end: Point, thickness: float) -> Patch:
    """A straight stroke with square ends."""
    (x1, y1), (x2, y2) = start, end
    length = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
    dx, dy = (y1 - y2) / length * thickness / 2, (x2 - x1) / length * thickness / 2
    return _black((x1 + dx, y1 + dy), (x2 + dx, y2 + dy), (x2 - dx, y2 - dy), (x1 - dx, y1 - dy))


def _star(outer: float, inner: float) -> tuple[Point, ...]:
    """Five points, the first straight up."""
    radii = (outer, inner) * 5
    return tuple(
        (0.5 + radius * sin(k * pi / 5), 0.5 - radius * cos(k * pi / 5))
        for k, radius in enumerate(radii)
    )


def _square(inset: float) -> tuple[Point, ...]:
    far = 1 - inset
    return ((inset, inset), (far, inset), (far, far), (inset, far))


def _cross(near: float, thickness: float) -> tuple[Patch, ...]:
    far = 1 - near
    return (_bar((near, near), (far, far), thickness), _bar((near, far), (far, near), thickness))


def _stack(*parts: Patch | Iterable[Patch]) -> tuple[Patch, ...]:
    return tuple(
        patch for part in parts for patch in ((part,) if isinstance(part, Patch) else part)
    )


_TRIANGLE = (
    _black((0.5, 0.04), (1.0, 0.96), (0.0, 0.96)),
    _white((0.5, 0.22), (0.865, 0.88), (0.135, 0.88)),
)
_BOX = (_black(*_square(0.04)), _white(*_square(0.13)))

_DRAWN: Final[dict[Shape, tuple[Patch, ...]]] = {
    Shape.WARNING: _stack(
        _TRIANGLE,
        _black((0.435, 0.40), (0.565, 0.40), (0.535, 0.68), (0.465, 0.68)),
        _black((0.44, 0.725), (0.56, 0.725), (0.56, 0.83), (0.44, 0.83)),
    ),
    Shape.VOLTAGE: _stack(
        _TRIANGLE,
        _black((0.56, 0.36), (0.38, 0.63), (0.50, 0.63), (0.43, 0.84), (0.64, 0.56), (0.51, 0.56)),
    ),
    Shape.CROSS: _cross(0.12, 0.19),
    Shape.CROSSED_BOX: _stack(_BOX, _cross(0.12, 0.12)),
    Shape.TICK: _stack(
        _bar((0.06, 0.53), (0.43, 0.88), 0.17), _bar((0.36, 0.90), (0.93, 0.14), 0.17)
    ),
    Shape.CIRCLE: (_black(*_arc(0.46)), _white(*_arc(0.34))),
    Shape.DIAMOND: (
        _black((0.5, 0.0), (1.0, 0.5), (0.5, 1.0), (0.0, 0.5)),
        _white((0.5, 0.17), (0.83, 0.5), (0.5, 0.83), (0.17, 0.5)),
    ),
    Shape.HALF_DISC: (
        _black(*_arc(0.46)),
        _white(*_arc(0.36, first=-pi / 2, last=pi / 2)),
    ),
    Shape.SQUARE: _BOX,
    Shape.POUCH: (
        _black((0.25, 0.04), (0.75, 0.04), (0.64, 0.24), (0.36, 0.24)),
        _black((0.34, 0.32), (0.66, 0.32), (0.96, 0.70), (0.86, 0.97), (0.14, 0.97), (0.04, 0.70)),
    ),
    Shape.STAR: (_black(*_star(0.5, 0.2)),),
    Shape.BIN: (
        _black((0.06, 0.12), (0.94, 0.12), (0.94, 0.24), (0.06, 0.24)),
        _black((0.38, 0.02), (0.62, 0.02), (0.62, 0.12), (0.38, 0.12)),
        _black((0.14, 0.30), (0.86, 0.30), (0.78, 0.98), (0.22, 0.98)),
        _white((0.36, 0.40), (0.43, 0.40), (0.45, 0.88), (0.38, 0.88)),
        _white((0.57, 0.40), (0.64, 0.40), (0.62, 0.88), (0.55, 0.88)),
    ),
    Shape.SHELVES: (
        _black(*_square(0.02)),
        _white((0.12, 0.02), (0.88, 0.02), (0.88, 0.44), (0.12, 0.44)),
        _white((0.12, 0.54), (0.88, 0.54), (0.88, 0.88), (0.12, 0.88)),
        _black((0.20, 0.14), (0.50, 0.14), (0.50, 0.44), (0.20, 0.44)),
        _black((0.58, 0.24), (0.80, 0.24), (0.80, 0.44), (0.58, 0.44)),
        _black((0.44, 0.62), (0.80, 0.62), (0.80, 0.88), (0.44, 0.88)),
    ),
    Shape.PERSON: (
        _black(*((x, y - 0.22) for x, y in _arc(0.23))),
        _black((0.06, 0.98), (0.14, 0.68), (0.32, 0.58), (0.68, 0.58), (0.86, 0.68), (0.94, 0.98)),
    ),
    Shape.HOURGLASS: (
        _black((0.1, 0.02), (0.9, 0.02), (0.9, 0.12), (0.56, 0.5), (0.44, 0.5), (0.1, 0.12)),
        _black((0.44, 0.5), (0.56, 0.5), (0.9, 0.88), (0.9, 0.98), (0.1, 0.98), (0.1, 0.88)),
        _white((0.26, 0.14), (0.74, 0.14), (0.5, 0.42)),
    ),
}
