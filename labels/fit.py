"""Fits words into a given space, in an order that is always the same.

First all rows shrink together, from the size we like to the least that can be read, and are
broken into as many lines as they need: the largest size at which every word is there is taken.
Where not every word fits even at the least size, every row keeps one line, the lines left over
go to the rows in order of importance, and what still does not fit is cut with an ellipsis.
Nothing is ever set smaller than the least size, and no row is left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from labels.fonts import ASCENT, LINE_PITCH, Weight, width_mm
from labels.items import Text
from labels.shapes import Shape
from labels.wording import ELLIPSIS

LEAST_SIZE_MM: Final = 2.1
"""Smallest type on a tag, 6 pt: common trade practice for print read at arm's length."""

SIGN_GAP_MM: Final = 0.9
FRAME_PAD_MM: Final = 0.5
ROW_GAP_MM: Final = 0.3
_SHRINK_STEPS: Final = 12
_SLACK_MM: Final = 1e-6


class LayoutFault(ValueError):
    """The label is too small for what the tag must say."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """Words that belong together, the size we like for them, and a sign before them."""

    text: str
    size_mm: float
    importance: int
    weight: Weight = Weight.REGULAR
    shape: Shape | None = None
    framed: bool = False

    def sign_mm(self, size_mm: float) -> float:
        """Side of the sign at a type size."""
        return size_mm * 1.15 if self.shape else 0.0

    def indent_mm(self, size_mm: float) -> float:
        """How far in the words begin."""
        sign = self.sign_mm(size_mm) + SIGN_GAP_MM if self.shape else 0.0
        return sign + self._pad_mm

    def room_mm(self, width: float, size_mm: float) -> float:
        """How long a line of the words may be."""
        return width - self.indent_mm(size_mm) - self._pad_mm

    def height_mm(self, lines: int, size_mm: float) -> float:
        """How high the row stands with so many lines."""
        return lines * size_mm * LINE_PITCH + 2 * self._pad_mm

    @property
    def _pad_mm(self) -> float:
        return FRAME_PAD_MM if self.framed else 0.0


@dataclass(frozen=True, slots=True)
class Fitted:
    """A row as it will be printed."""

    row: Row
    size_mm: float
    lines: tuple[str, ...]

    @property
    def height_mm(self) -> float:
        """Height with its frame."""
        return self.row.height_mm(len(self.lines), self.size_mm)


def line_texts(one: Fitted, x: float, y: float) -> Iterator[Text]:
    """The lines of a row as they are drawn, from the top left corner of its words."""
    for k, line in enumerate(one.lines):
        baseline = y + (ASCENT + k * LINE_PITCH) * one.size_mm
        yield Text(x, baseline, one.size_mm, one.row.weight, line)


def least_mm(rows: int, *, framed: int) -> float:
    """The least height of so many rows, some of them framed, with one line each."""
    lines = rows * LEAST_SIZE_MM * LINE_PITCH
    return lines + framed * 2 * FRAME_PAD_MM + (rows - 1) * ROW_GAP_MM


def stacked_mm(fitted: Sequence[Fitted]) -> float:
    """Height of rows one below the other."""
    gaps = ROW_GAP_MM * max(0, len(fitted) - 1)
    return sum(row.height_mm for row in fitted) + gaps


def whole(rows: Sequence[Row], width: float, height: float) -> tuple[Fitted, ...] | None:
    """All rows with all their words at the largest size that fits, or None."""
    for step in range(_SHRINK_STEPS + 1):
        fitted = tuple(_broken_row(row, width, step) for row in rows)
        if stacked_mm(fitted) <= height + _SLACK_MM:
            return fitted
    return None


def cut(rows: Sequence[Row], width: float, height: float) -> tuple[Fitted, ...]:
    """All rows at the least size, cut where they must be. Raises LayoutFault if none can be."""
    full = tuple(_broken_row(row, width, _SHRINK_STEPS) for row in rows)
    lines = _allotted(full, height)
    return tuple(
        Fitted(one.row, one.size_mm, _shortened(one, count, width))
        for one, count in zip(full, lines, strict=True)
    )


def broken(text: str, width: float, size_mm: float, weight: Weight) -> tuple[str, ...]:
    """The words on lines no wider than `width`; a word that is wider is broken anywhere."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}".lstrip()
        if width_mm(longer, size_mm, weight) <= width:
            line = longer
            continue
        if line:
            lines.append(line)
        *pieces, line = _pieces(word, width, size_mm, weight)
        lines.extend(pieces)
    return (*lines, line) if line else tuple(lines)


def one_line(text: str, width: float, size_mm: float, weight: Weight) -> str:
    """The words on one line, cut with an ellipsis where they are too long."""
    if width_mm(text, size_mm, weight) <= width:
        return text
    kept = text
    while kept and width_mm(kept.rstrip() + ELLIPSIS, size_mm, weight) > width:
        kept = kept[:-1]
    return kept.rstrip() + ELLIPSIS


def _broken_row(row: Row, width: float, step: int) -> Fitted:
    size = row.size_mm - (row.size_mm - LEAST_SIZE_MM) * step / _SHRINK_STEPS
    size = max(LEAST_SIZE_MM, size)
    return Fitted(row, size, broken(row.text, row.room_mm(width, size), size, row.weight))


def _pieces(word: str, width: float, size_mm: float, weight: Weight) -> list[str]:
    pieces: list[str] = []
    start = 0
    for end in range(1, len(word) + 1):
        if end - start > 1 and width_mm(word[start:end], size_mm, weight) > width:
            pieces.append(word[start : end - 1])
            start = end - 1
    return [*pieces, word[start:]]


def _allotted(full: Sequence[Fitted], height: float) -> tuple[int, ...]:
    """How many lines each row gets: one each, the rest by importance."""
    counts = [1] * len(full)
    if _height_mm(full, counts) > height + _SLACK_MM:
        raise LayoutFault("The label is too small for the tag's words in readable type.")
    for place in sorted(range(len(full)), key=lambda k: full[k].row.importance):
        while counts[place] < len(full[place].lines):
            counts[place] += 1
            if _height_mm(full, counts) > height + _SLACK_MM:
                counts[place] -= 1
                break
    return tuple(counts)


def _height_mm(full: Sequence[Fitted], counts: Sequence[int]) -> float:
    rows = (one.row.height_mm(n, one.size_mm) for one, n in zip(full, counts, strict=True))
    return sum(rows) + ROW_GAP_MM * max(0, len(full) - 1)


def _shortened(one: Fitted, count: int, width: float) -> tuple[str, ...]:
    if len(one.lines) <= count:
        return one.lines
    kept, rest = one.lines[: count - 1], one.lines[count - 1 :]
    room = one.row.room_mm(width, one.size_mm)
    return (*kept, one_line(" ".join(rest), room, one.size_mm, one.row.weight))
