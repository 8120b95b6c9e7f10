"""Addresses of what holds are judged by: equipment with its check dates, the ends of shifts."""

from __future__ import annotations

from partsvc.api.paging import LINK_HEADER, next_page
from partsvc.api.room import Room
from partsvc.domain.acts.kinds import ALL, Role
from partsvc.web.running import service
from partsvc.work import equipment, shifts
from partsvc.work.answers import Writing
from partsvc.work.equipment import (
    EquipmentGiven,
    EquipmentPage,
    EquipmentShown,
    EquipmentWanted,
)
from partsvc.work.shifts import ShiftsGiven, ShiftsShown

room = Room("equipment", __name__, description="Instruments, gloves and lifts; ends of shifts.")
LEAD = frozenset({Role.LEAD})


@room.at(
    "GET", "/equipment", roles=ALL, asks=EquipmentWanted, gives=EquipmentPage, headers=LINK_HEADER,
)  # fmt: skip
def get_equipment(*, asked: EquipmentWanted) -> tuple[EquipmentPage, dict[str, str]]:
    """List the equipment with its check dates, by number"""
    page = equipment.page(service(), asked)
    full = len(page.equipment) == asked.limit
    return page, next_page("after", page.equipment[-1].number if full else None)


@room.at(
    "POST", "/equipment", roles=LEAD, takes=EquipmentGiven, gives=EquipmentShown, status=201,
    writes=True, location="/api/v1/equipment/{number}",
)  # fmt: skip
def post_equipment(*, db: Writing, given: EquipmentGiven) -> EquipmentShown:
    """List an instrument, a pair of gloves or a lift"""
    return equipment.add(service(), db, given)


@room.at("GET", "/equipment/<path:number>", roles=ALL, gives=EquipmentShown, etag=True)
def get_one_equipment(number: str) -> EquipmentShown:
    """Look up until when something is good"""
    with service().database.reading() as db:
        return equipment.item(service(), db, number)


@room.at(
    "PUT", "/equipment/<path:number>", roles=LEAD, takes=EquipmentGiven, gives=EquipmentShown,
    writes=True, etag=True,
)  # fmt: skip
def put_one_equipment(number: str, *, db: Writing, given: EquipmentGiven) -> EquipmentShown:
    """Write the date of a new check down"""
    found = equipment.item(service(), db, number)
    room.same(found)
    return equipment.put(service(), db, found, given)


@room.at("GET", "/shifts", roles=ALL, gives=ShiftsShown, etag=True)
def get_shifts() -> ShiftsShown:
    """Read when the shifts end"""
    with service().database.reading() as db:
        return shifts.shifts(service(), db)


@room.at(
    "PUT", "/shifts", roles=LEAD, takes=ShiftsGiven, gives=ShiftsShown, writes=True, etag=True,
)  # fmt: skip
def put_shifts(*, db: Writing, given: ShiftsGiven) -> ShiftsShown:
    """Say when the shifts end

    What is passed from now on until the end of a shift stands until then; what was passed before
    keeps the end it had.
    """
    room.same(shifts.shifts(service(), db))
    return shifts.put(service(), db, given)
