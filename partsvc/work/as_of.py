"""A job as it stood at an earlier act: what a paper signed then has to say for ever."""

from __future__ import annotations

import sqlite3
from dataclasses import replace

from partsvc.domain.desk import Desk
from partsvc.domain.job_plan import job_plan
from partsvc.domain.job_state import fold
from partsvc.domain.ledger import Book, Holding, Posted, recount
from partsvc.domain.places import PlaceKind
from partsvc.store.database import Row
from partsvc.work.facts import job_desk, pinned_plan
from partsvc.work.service import Service


def as_of(service: Service, db: sqlite3.Connection, job: Row, seq: int) -> Desk:
    """The desk of a job after its act of this number, as far as later acts did not undo it."""
    desk = job_desk(service, db, job, look_back=True)
    happened = tuple(one for one in desk.happened if one.seq <= seq)
    posted = tuple(one for one in desk.posted if one.seq <= seq)
    pinned, _ = pinned_plan(service, db, job)
    return replace(
        desk,
        happened=happened,
        posted=posted,
        state=fold(happened),
        plan=job_plan(pinned, (one.effect for one in happened)),
        book=Book(_inside(posted, desk.account)),
        touched=_touched(posted),
    )


def _inside(posted: tuple[Posted, ...], account: str) -> list[Holding]:
    balances = recount(one.entry for one in posted)
    return [
        Holding(part, spot, quantity)
        for (part, spot), quantity in balances.items()
        if spot.account == account and spot.place.kind is not PlaceKind.OUTSIDE
    ]


def _touched(posted: tuple[Posted, ...]) -> dict[str, int]:
    found: dict[str, int] = {}
    for one in posted:
        for spot in (one.entry.source, one.entry.target):
            if spot.place.kind is PlaceKind.BAG:
                found[str(spot.place)] = one.seq
    return found
