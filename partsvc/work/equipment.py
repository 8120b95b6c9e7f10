"""The workshop's equipment that is used to make safe, and the day until which each is good.

How often an instrument, a pair of gloves or a lift is to be checked, its maker and the local codes
say; here stands only the date that was found on it.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Annotated

from partsvc.domain.plan import Equipment
from partsvc.domain.records import Between, Day, Form, Length, Line, Says
from partsvc.errors import Conflict, Invalid, NotFound, Stale
from partsvc.store import equipment
from partsvc.store.database import Row
from partsvc.work.service import Service

Number = Annotated[
    str,
    Length(1, 80),
    Form(r"[^\x00-\x20\x7f]([^\x00-\x1f\x7f]*[^\x00-\x20\x7f])?", "plain text on one line"),
    Says("the number that stands on it"),
]
GoodUntil = Annotated[Day, Says("the last day on which it may be used without a new check")]


@dataclass(frozen=True, slots=True, kw_only=True)
class EquipmentGiven:
    """An instrument, a pair of gloves or a lift, with its check date."""

    number: Number
    kind: Equipment
    words: Annotated[Line | None, Says("what it is and where it is kept")] = None
    good_until: GoodUntil


@dataclass(frozen=True, slots=True, kw_only=True)
class EquipmentShown:
    """A piece of equipment as it is listed."""

    number: str
    kind: Equipment
    words: str
    good_until: str
    version: int


class CheckState(StrEnum):
    """How the check date of a piece of equipment stands today."""

    GOOD = "good"
    SOON = "soon"
    PAST = "past"


SOON_DAYS = 30


def check_state(service: Service, shown: EquipmentShown) -> CheckState:
    """Whether a piece of equipment may still be used by its date, and whether that ends soon."""
    today = date.fromisoformat(service.today())
    left = (date.fromisoformat(shown.good_until) - today).days
    if left < 0:
        return CheckState.PAST
    return CheckState.SOON if left <= SOON_DAYS else CheckState.GOOD


@dataclass(frozen=True, slots=True, kw_only=True)
class EquipmentWanted:
    """Which equipment is asked for, by number."""

    after: Annotated[str | None, Says("the number before the page")] = None
    limit: Annotated[int, Between(1, 200)] = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class EquipmentPage:
    """A page of the equipment."""

    equipment: tuple[EquipmentShown, ...]


def page(service: Service, wanted: EquipmentWanted) -> EquipmentPage:
    """A page of the equipment, by number."""
    with service.database.reading() as db:
        rows = equipment.page(db, service.site, after=wanted.after or "", limit=wanted.limit)
    return EquipmentPage(equipment=tuple(map(_shown, rows)))


def item(service: Service, db: sqlite3.Connection, number: str) -> EquipmentShown:
    """One piece of equipment; NotFound if none of that number is listed."""
    row = equipment.one(db, service.site, number)
    if row is None:
        raise NotFound(f"No equipment {number} is listed. Add it first.", number=number)
    return _shown(row)


def add(service: Service, db: sqlite3.Connection, given: EquipmentGiven) -> EquipmentShown:
    """List a piece of equipment; Conflict if its number is taken."""
    if equipment.one(db, service.site, given.number) is not None:
        raise Conflict(
            f"{given.number} is listed already. Write its new date there.", number=given.number
        )
    equipment.add(
        db,
        service.site,
        number=given.number,
        kind=given.kind.value,
        words=given.words or "",
        good_until=_a_day(given.good_until),
    )
    return item(service, db, given.number)


def put(
    service: Service, db: sqlite3.Connection, found: EquipmentShown, given: EquipmentGiven
) -> EquipmentShown:
    """Write a piece of equipment anew, with the date of its last check."""
    if given.number != found.number:
        raise Invalid(f"It keeps its number: {found.number}.", field="number")
    done = equipment.change(
        db,
        service.site,
        number=found.number,
        version=found.version,
        kind=given.kind.value,
        words=given.words or "",
        good_until=_a_day(given.good_until),
    )
    if not done:
        raise Stale("It was changed meanwhile. Fetch it again.", number=found.number)
    return item(service, db, found.number)


def _a_day(text: str) -> str:
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError as odd:
        raise Invalid(f"{text} is a day of no calendar.", field="good_until") from odd


def _shown(row: Row) -> EquipmentShown:
    return EquipmentShown(
        number=row["number"],
        kind=Equipment(row["kind"]),
        words=row["words"],
        good_until=row["good_until"],
        version=row["version"],
    )
