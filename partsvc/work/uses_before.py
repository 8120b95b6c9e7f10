"""Use counts of a vehicle's earlier jobs, taken along when the next one is opened."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator

from partsvc.domain.effects import Effect, from_plain
from partsvc.domain.effects_uses import UsesCarried, UsesKnown
from partsvc.domain.parts import Rule
from partsvc.domain.plan import Plan
from partsvc.store import histories
from partsvc.store.database import Row
from partsvc.work.service import Service


def uses_before(
    service: Service, db: sqlite3.Connection, job: str, vehicle: str, procedure: str, plan: Plan
) -> tuple[Effect, ...]:
    """What the opening act says of uses, position by position; what is not known is left out.

    A position is known by its id and only within one procedure, and each by the newest job that
    had it. Where that job was not released, nobody knows what became of its pieces.
    """
    if not vehicle or not _limited(plan):
        return ()
    rows = histories.uses_known(db, service.site, vehicle, procedure)
    return tuple(_carried([row for row in rows if row["id"] != job], plan))


def _limited(plan: Plan) -> dict[tuple[str, str], int]:
    """The planned pieces of limited use, by position and part."""
    return {
        (position.id, item.part): position.sets * item.per_set
        for _, position in plan.each_position()
        for item in position.stack
        if item.rule is Rule.LIMITED
    }


def _carried(rows: list[Row], plan: Plan) -> Iterator[UsesCarried]:
    room = _limited(plan)
    newest: dict[tuple[str, str], str] = {}
    for row in rows:
        if row["procedure"] and row["state"] != "released":
            return
        if row["kind"] is None or row["state"] != "released":
            continue
        known = from_plain(row["kind"], json.loads(row["text"]))
        if not isinstance(known, UsesKnown):
            continue
        here = (known.position, known.part)
        if newest.setdefault(here, row["id"]) != row["id"] or known.uses is None:
            continue
        quantity = min(known.quantity, room.get(here, 0))
        if quantity:
            room[here] -= quantity
            yield UsesCarried(
                position=known.position,
                part=known.part,
                quantity=quantity,
                uses=known.uses,
                job=row["id"],
            )
