"""What a tag says, before anyone decides where it stands.

A tag hangs on a bag, tray or box for days and is read by people who were not there when it was
written: by its code, by a scanner, and by its words. Every word is given by the caller, already
in the workshop's language.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import Enum
from typing import Final

from labels.shapes import Shape

_CODE: Final = re.compile(r"[0-9A-Z]{8}\Z")


class TagFault(ValueError):
    """A tag cannot say this; the text tells what to change."""


class Band(Enum):
    """How the kind of tag is framed, so that kinds differ at arm's length without colour."""

    OUTLINE = "black on white in a frame"
    DOUBLE = "black on white in a double frame"
    SOLID = "white on black"


@dataclass(frozen=True, slots=True)
class Pocket:
    """One numbered pocket of a tray: a place of its own, with a code of its own."""

    number: int
    code: str
    payload: str | None = None

    @property
    def shown_code(self) -> str:
        """The code as people read it."""
        return f"{self.code[:4]}-{self.code[4:]}"

    @property
    def symbol_payload(self) -> str:
        """What a scanner reads."""
        return self.payload or self.code


@dataclass(frozen=True, slots=True, kw_only=True)
class TagFace:
    """The words and the code of one tag; whatever is empty or None is left out.

    `code` is eight capitals or digits. `payload` goes into the symbol instead of the bare code
    where a scanner should open an address (capitals only). A `rule` needs a `rule_shape`, so
    that a rule is known by its sign too; so is the kind, by `kind_shape`. `lines` are what is to
    be filled in by hand, one line each, while nobody knows it yet; a tag always has room to write
    on. On a tray's tag `pockets` are its pockets by number.
    """

    code: str
    payload: str | None = None
    kind: str | None = None
    kind_band: Band = Band.OUTLINE
    kind_shape: Shape | None = None
    job: str | None = None
    vehicle: str | None = None
    step: str | None = None
    position: str | None = None
    part: str | None = None
    count: str | None = None
    rule: str | None = None
    rule_shape: Shape | None = None
    lookalike: str | None = None
    cautions: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()
    pockets: tuple[Pocket, ...] = ()

    def __post_init__(self) -> None:
        if not _CODE.match(self.code):
            raise TagFault(f"A tag's code is eight capitals or digits, not {self.code!r}.")
        if self.rule and self.rule_shape is None:
            raise TagFault(f"The rule {self.rule!r} needs a shape beside its words.")

    @property
    def shown_code(self) -> str:
        """The code as people read it: in two halves."""
        return f"{self.code[:4]}-{self.code[4:]}"

    @property
    def symbol_payload(self) -> str:
        """What a scanner reads: the payload, or the bare code."""
        return self.payload or self.code
