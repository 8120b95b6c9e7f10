"""Where a piece can be, and in what condition: the vocabulary of the ledger.

Every physical piece is in exactly one place of one account. A place is a kind and a name:
`bag:7K3M9QXD`, `secured:FR-01`, `outside:receipt`.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class PlaceKind(StrEnum):
    """The kinds of place a piece can be in."""

    OUTSIDE = "outside"
    SECURED = "secured"
    LOOSE = "loose"
    OWN_HOLE = "own-hole"
    BAG = "bag"
    ON_VEHICLE = "on-vehicle"
    WITH = "with"
    AWAY = "away"
    STOCK = "stock"
    TOOL_STORE = "tool-store"
    SCRAP = "scrap"
    MISSING = "missing"
    LOST = "lost"


class Gate(StrEnum):
    """Why a piece passed between this book and the outside world."""

    OPENING = "opening"
    RECEIPT = "receipt"
    UNBOOKED_RECEIPT = "unbooked-receipt"
    STOCK_CORRECTION = "stock-correction"
    ADDITION = "addition"
    PLAN_CORRECTION = "plan-correction"
    STRAY = "stray"
    COUNT_OVER = "count-over"
    OTHER_JOB = "other-job"
    UNTRACKED_TEMPORARY = "untracked-temporary"
    UNPACKED = "unpacked"


class Condition(StrEnum):
    """How good a piece is. It only ever gets worse, except by a reversal."""

    NEW = "new"
    USED = "used"
    DAMAGED = "damaged"


CONDITION_RANK = {Condition.NEW: 0, Condition.USED: 1, Condition.DAMAGED: 2}

AT_POSITION = (PlaceKind.SECURED, PlaceKind.LOOSE, PlaceKind.OWN_HOLE, PlaceKind.MISSING)


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """One place of an account: what kind, and which one."""

    kind: PlaceKind
    at: str

    def __str__(self) -> str:
        return f"{self.kind}:{self.at}"

    @classmethod
    def parse(cls, text: str) -> Place:
        """Read back what `str` wrote; raises ValueError for an unknown kind."""
        kind, _, at = text.partition(":")
        return cls(PlaceKind(kind), at)


def secured(position: str) -> Place:
    """In its position, tightened to its last stage, clipped home, both locks closed."""
    return Place(PlaceKind.SECURED, position)


def loose(position: str) -> Place:
    """In its position, not secured: hand-started, unplugged, loosened but captive."""
    return Place(PlaceKind.LOOSE, position)


def own_hole(position: str) -> Place:
    """Put back finger-tight in its own hole while its part is off."""
    return Place(PlaceKind.OWN_HOLE, position)


def missing(position: str) -> Place:
    """It belongs there, but was not there when the step was opened."""
    return Place(PlaceKind.MISSING, position)


def bag(code: str) -> Place:
    """In a tagged bag, tray, box or trolley."""
    return Place(PlaceKind.BAG, code)


def on_vehicle(step: str) -> Place:
    """A temporary item that is on the vehicle now."""
    return Place(PlaceKind.ON_VEHICLE, step)


def with_person(person: str) -> Place:
    """Held by a person: the service plug in their lock box."""
    return Place(PlaceKind.WITH, person)


def lost(where: str) -> Place:
    """Known to be somewhere, nobody knows where; named after where it was last."""
    return Place(PlaceKind.LOST, where)


def outside(reason: Gate) -> Place:
    """The far side of the gate, with the reason for passing it."""
    return Place(PlaceKind.OUTSIDE, reason.value)


STOCK = Place(PlaceKind.STOCK, "main")
TOOL_STORE = Place(PlaceKind.TOOL_STORE, "main")
SCRAP = Place(PlaceKind.SCRAP, "bin")
