"""Reads what holds are judged by: equipment with its dates, shifts, and when steps were worked."""

from __future__ import annotations

import sqlite3
from dataclasses import replace

from partsvc.domain.acts.kinds import ActKind, Needs
from partsvc.domain.desk import Desk, EquipmentFacts
from partsvc.domain.plan import Equipment
from partsvc.store import acts as act_store
from partsvc.store import equipment
from partsvc.work.service import Service


def with_work_done(service: Service, db: sqlite3.Connection, desk: Desk) -> Desk:
    """The desk, knowing when each step was worked, where a hold waits for so long after one."""
    if not any(hold.wait_minutes for _, hold in desk.plan.holds.values()):
        return desk
    return replace(
        desk,
        posted=act_store.posted(db, service.site, desk.account, live_only=True),
        acts=act_store.acts_done(db, service.site, desk.account),
    )


def with_equipment(
    service: Service, db: sqlite3.Connection, desk: Desk, kind: ActKind, request: object
) -> Desk:
    """The desk, knowing the equipment that an act names, and when the shifts end."""
    if Needs.EQUIPMENT not in kind.needs:
        return desk
    numbers = [getattr(request, kind.value, None) for kind in Equipment]
    found = equipment.named(db, service.site, filter(None, numbers))
    known = {
        row["number"]: EquipmentFacts(
            number=row["number"],
            kind=row["kind"],
            good_until=row["good_until"],
            words=row["words"],
        )
        for row in found
    }
    ends = equipment.shift_ends(db, service.site)
    return replace(desk, equipment=known, shift_ends=ends)
