"""When the workshop's shifts end: what was made safe until then is to be made safe anew."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.records import AtMost, Form, Length, Says
from partsvc.store import equipment
from partsvc.work.service import Service

ClockTime = Annotated[
    str, Length(5, 5), Form(r"([01][0-9]|2[0-3]):[0-5][0-9]", "a time of day, as in 14:00")
]
Ends = Annotated[
    tuple[ClockTime, ...],
    AtMost(12),
    Says("when shifts end, by the workshop's own clock; none if no shift ends anything"),
]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShiftsGiven:
    """The ends of the workshop's shifts."""

    ends: Ends


@dataclass(frozen=True, slots=True, kw_only=True)
class ShiftsShown:
    """The ends of the workshop's shifts, in the order of the day, and the clock they go by."""

    ends: Ends
    zone: Annotated[str, Says("the workshop's time zone")]


def shifts(service: Service, db: sqlite3.Connection) -> ShiftsShown:
    """When the shifts end."""
    return ShiftsShown(ends=equipment.shift_ends(db, service.site), zone=service.zone)


def put(service: Service, db: sqlite3.Connection, given: ShiftsGiven) -> ShiftsShown:
    """Write the ends of the shifts anew; holds that were passed before keep their own end."""
    equipment.set_shift_ends(db, service.site, given.ends)
    return shifts(service, db)
