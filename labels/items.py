"""The few things a label is made of, measured in millimetres from its top left corner.

The layout answers in these and the drawers read nothing else, so that a picture and a PDF of the
same tag cannot differ and a layout can be judged without drawing it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TypeAlias

from labels.fonts import Weight
from labels.shapes import Shape
from labels.symbol import Matrix


@dataclass(frozen=True, slots=True)
class Text:
    """One line of words; x is where it begins, y its baseline."""

    x_mm: float
    y_mm: float
    size_mm: float
    weight: Weight
    text: str
    white: bool = False


@dataclass(frozen=True, slots=True)
class Rule:
    """A level line; y is its middle."""

    x_mm: float
    y_mm: float
    length_mm: float
    line_mm: float


@dataclass(frozen=True, slots=True)
class Box:
    """A frame whose line lies inside its measures, or a black field where it is filled."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float
    line_mm: float
    filled: bool = False


@dataclass(frozen=True, slots=True)
class Symbol:
    """The modules of a symbol from its top left dark corner, without the quiet zone."""

    x_mm: float
    y_mm: float
    module_mm: float
    matrix: Matrix

    @property
    def side_mm(self) -> float:
        """Length of a side without the quiet zone."""
        return self.module_mm * len(self.matrix)


@dataclass(frozen=True, slots=True)
class Mark:
    """A drawn sign in a square."""

    x_mm: float
    y_mm: float
    size_mm: float
    shape: Shape


@dataclass(frozen=True, slots=True)
class Ring:
    """The outline of a hole to be punched; x and y are its middle."""

    x_mm: float
    y_mm: float
    across_mm: float
    line_mm: float


@dataclass(frozen=True, slots=True)
class Dashes:
    """A level broken line, to tear or cut along; y is its middle."""

    x_mm: float
    y_mm: float
    length_mm: float
    line_mm: float
    dash_mm: float = 2.0


Item: TypeAlias = Text | Rule | Box | Symbol | Mark | Ring | Dashes


def moved(item: Item, x_mm: float, y_mm: float) -> Item:
    """The same item, so much further right and down."""
    return replace(item, x_mm=item.x_mm + x_mm, y_mm=item.y_mm + y_mm)
