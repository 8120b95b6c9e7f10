"""What a printed document says: checklists, reconciliations, release records, order lists.

A paper is plain data. It knows facts, tables, cautions and signatures, not jobs or parts, so
that every paper of the workshop looks the same and each is written in one place by whoever
knows its contents. How it is drawn is decided in `draw_paper`.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, StrEnum
from typing import TypeAlias

from labels.shapes import Shape


class PaperFault(ValueError):
    """A paper cannot be drawn as described; the text names the block and what to change."""


class Align(Enum):
    """How a column's words stand."""

    LEFT = "left"
    CENTRE = "centre"
    RIGHT = "right"


class Danger(StrEnum):
    """The signal words of a boxed caution; each has its own sign."""

    CAUTION = "CAUTION"
    HIGH_VOLTAGE = "DANGER HIGH VOLTAGE"

    @property
    def shape(self) -> Shape:
        """The sign drawn beside the word."""
        return Shape.VOLTAGE if self is Danger.HIGH_VOLTAGE else Shape.WARNING


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading; level 1 opens a part of the paper, level 2 a section of it."""

    text: str
    level: int = 1

    def __post_init__(self) -> None:
        if self.level not in (1, 2):
            raise PaperFault(f"The heading {self.text!r} has level {self.level}; use 1 or 2.")


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Words as they are; a line feed begins a new line."""

    text: str


@dataclass(frozen=True, slots=True)
class Caution:
    """A boxed warning with its sign and its signal word."""

    text: str
    danger: Danger = Danger.CAUTION


@dataclass(frozen=True, slots=True)
class Tick:
    """A cell that is an empty box to tick by hand."""


@dataclass(frozen=True, slots=True)
class Strong:
    """A cell whose words must be seen first."""

    text: str


@dataclass(frozen=True, slots=True)
class Marked:
    """A cell that says something by a sign and by words."""

    shape: Shape
    text: str


Cell: TypeAlias = str | Tick | Strong | Marked


@dataclass(frozen=True, slots=True)
class Column:
    """A table's column: of a fixed width, or with a share of what fixed ones leave over."""

    title: str
    width_mm: float | None = None
    share: float = 1.0
    align: Align = Align.LEFT

    def __post_init__(self) -> None:
        measure = self.share if self.width_mm is None else self.width_mm
        if not 0 < measure <= 1000:
            raise PaperFault(f"The column {self.title!r} needs a width or share above 0.")


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under a header that is repeated on every page; `empty` stands there without rows."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    empty: str = "Nothing to list."

    def __post_init__(self) -> None:
        if not self.columns:
            raise PaperFault("A table needs at least one column.")
        for number, row in enumerate(self.rows, start=1):
            if len(row) != len(self.columns):
                raise PaperFault(
                    f"Row {number} of the table headed {self.columns[0].title!r} has {len(row)} "
                    f"cells for {len(self.columns)} columns."
                )


@dataclass(frozen=True, slots=True)
class StatusLine:
    """One question and its answer in large type: yes (True), no (False), or not known (None)."""

    label: str
    state: str
    ok: bool | None

    @property
    def shape(self) -> Shape:
        """A tick mark, a cross, or an open circle."""
        if self.ok is None:
            return Shape.CIRCLE
        return Shape.TICK if self.ok else Shape.CROSS


@dataclass(frozen=True, slots=True)
class TwoLines:
    """Answers that must be seen together and never melt into one."""

    lines: tuple[StatusLine, ...]


@dataclass(frozen=True, slots=True)
class Signature:
    """Lines to sign on, side by side, each with words below it such as name, sign, date."""

    labels: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PictureMark:
    """A numbered place on a photo, in thousandths from its left and top; dark where it is done."""

    x_permille: int
    y_permille: int
    text: str
    done: bool = False


@dataclass(frozen=True, slots=True)
class Picture:
    """A photo, small, with words below it; `jpeg` is a whole JPEG, PNG or WebP file.

    One with marks is drawn larger, so that they can be told apart.
    """

    jpeg: bytes
    words: str = ""
    marks: tuple[PictureMark, ...] = ()


@dataclass(frozen=True, slots=True)
class Pictures:
    """Photos side by side, at most two in a row."""

    pictures: tuple[Picture, ...]


@dataclass(frozen=True, slots=True)
class KeepTogether:
    """Blocks that stay on one page if a page can hold them."""

    blocks: tuple[Block, ...]


Block: TypeAlias = (
    Heading | Paragraph | Caution | Table | TwoLines | Pictures | Signature | KeepTogether
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A whole document on A4; title and facts are repeated on every page."""

    title: str
    subtitle: str = ""
    facts: tuple[tuple[str, str], ...] = ()
    blocks: tuple[Block, ...] = ()
    footer: str = ""
