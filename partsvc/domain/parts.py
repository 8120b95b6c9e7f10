"""What the catalogue knows of a part: enough to order it, tell it apart and reuse it rightly."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from partsvc.domain.records import AtMost, Between, Decimal, Name, Words

STRAY_PREFIX = "stray:"
UNNAMED_PREFIX = "unnamed:"


class PartKind(StrEnum):
    """The kind of part decides how it is counted, mixed up and broken."""

    BOLT = "bolt"
    SCREW = "screw"
    NUT = "nut"
    WASHER = "washer"
    CLIP = "clip"
    TIE = "tie"
    SEAL = "seal"
    CONNECTOR = "connector"
    HOSE = "hose"
    CLAMP = "clamp"
    BRACKET = "bracket"
    COVER = "cover"
    STUD = "stud"
    ASSEMBLY = "assembly"
    TEMPORARY = "temporary"
    OTHER = "other"


class SpentAt(StrEnum):
    """When a new piece stops being new: never, when put in, or when tightened."""

    NEVER = "never"
    FIT = "fit"
    SECURE = "secure"


class Rule(StrEnum):
    """Whether a piece that came off may go back."""

    REUSE = "reuse"
    INSPECT = "inspect"
    LIMITED = "limited"
    REPLACE = "replace"


RULE_WORDS = {
    Rule.REUSE: "REUSE",
    Rule.INSPECT: "INSPECT before it goes back",
    Rule.LIMITED: "LIMITED number of uses: check its marks",
    Rule.REPLACE: "REPLACE: single use, never put back",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class PartContent:
    """What one piece of a kit or of an assembled part holds."""

    part: Name
    quantity: Annotated[int, Between(1, 200)] = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part of the catalogue. Lengths in mm, mass in g; `number` is its key for ever.

    With `contents` it is a kit, unpacked when it is handed out; or, `captive`, one assembled piece
    (a bolt with its washer) that stands for all it holds. `only_in` names the kit it comes in.
    """

    number: Name
    name: Name
    kind: PartKind = PartKind.OTHER
    thread: Name = ""
    length_mm: Annotated[int, Between(1, 5000)] | None = None
    drive: Name = ""
    head: Name = ""
    property_class: Name = ""
    coating: Name = ""
    mass_g: Decimal = ""
    spent_at: SpentAt = SpentAt.NEVER
    pack_size: Annotated[int, Between(1, 10_000)] = 1
    superseded_by: Name = ""
    note: Words = ""
    contents: Annotated[tuple[PartContent, ...], AtMost(100)] = ()
    captive: bool = False
    only_in: Name = ""


def is_stray(number: str) -> bool:
    """A stray is a piece nobody could place yet; it stands in the book under its own name."""
    return number.startswith(STRAY_PREFIX)


def is_unnamed(number: str) -> bool:
    """Taken off by photo and count; the parts desk names it later."""
    return number.startswith(UNNAMED_PREFIX)


def part_words(number: str, part: Part | None) -> str:
    """What a person calls the part on a tag or a list."""
    if part is not None:
        return f"{part.name} ({number})"
    if is_stray(number):
        return "stray piece, not placed yet"
    if is_unnamed(number):
        return "part not named yet"
    return number
