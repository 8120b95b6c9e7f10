"""Reads what acts of supply are judged by: order lines, and what is known of lots."""

from __future__ import annotations

import sqlite3
from dataclasses import replace

from partsvc.domain.acts.kinds import ActKind, Needs
from partsvc.domain.desk import Desk
from partsvc.domain.order_lines import fold
from partsvc.domain.places import STOCK
from partsvc.store import order_lines, supply
from partsvc.work import facts
from partsvc.work.service import Service


def store_desk(service: Service, db: sqlite3.Connection, kind: ActKind, request: object) -> Desk:
    """The desk of the workshop's own account with all that this kind of act is judged by."""
    desk = facts.workshop_desk(service, db)
    desk = facts.with_store(service, db, desk, request)
    desk = with_supply(service, db, desk, kind, request)
    if Needs.PAST in kind.needs:
        desk = facts.with_past(service, db, desk, getattr(request, "act", ""))
        desk = _with_taken(service, db, desk)
    return desk


def with_supply(
    service: Service, db: sqlite3.Connection, desk: Desk, kind: ActKind, request: object
) -> Desk:
    """The desk, knowing the order line an act names and the lots of new pieces."""
    if Needs.ORDER_LINE in kind.needs:
        named = getattr(request, "job", None)
        if named is not None:
            facts.job_row(service, db, named)
        desk = _with_line(service, db, desk, getattr(request, "order", None) or "")
    if Needs.SHELF in kind.needs:
        desk = with_lots(service, db, desk)
    return desk


def _with_line(service: Service, db: sqlite3.Connection, desk: Desk, ident: str) -> Desk:
    found = order_lines.line(db, service.site, ident) if ident else None
    if found is None:
        return desk
    line, events = found
    return replace(desk, lines={line.id: (line, fold(events))})


def with_lots(service: Service, db: sqlite3.Connection, desk: Desk) -> Desk:
    """The desk, knowing batch, use-by day and job of what it knows to be on the shelf."""
    lots = {held.spot.lot for held in desk.book.at(STOCK)}
    return replace(desk, lots=supply.lots(db, service.site, lots))


def _with_taken(service: Service, db: sqlite3.Connection, desk: Desk) -> Desk:
    """The desk, knowing which acts took off the shelf what the act to be undone put there."""
    put = {
        (entry.part, entry.target.lot)
        for past in desk.past.values()
        for entry in past.entries
        if entry.target.place == STOCK
    }
    rows = [
        row
        for part, lot in sorted(put)
        for row in supply.taken_from_store(db, service.site, part=part, lots=(lot,))
    ]
    return replace(desk, taken=tuple((_whose(row["job_number"]), row["key"]) for row in rows))


def _whose(number: int) -> str:
    return f"job {number}" if number else "a count of the shelf"
