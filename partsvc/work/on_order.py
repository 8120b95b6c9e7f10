"""How many of a part are on order for a job now, said in one go; its order lines follow."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from decimal import Decimal as Number
from typing import Annotated

from partsvc.domain.order_lines import LineFacts, LineKind, Noted, fold
from partsvc.domain.order_view import folded
from partsvc.domain.records import Between, Day, Line, Says
from partsvc.errors import NotFound
from partsvc.store import keeping
from partsvc.store import order_lines as line_store
from partsvc.work import clock
from partsvc.work.facts import job_row
from partsvc.work.order_lines import begin, event_now, found
from partsvc.work.service import Sender, Service


@dataclass(frozen=True, slots=True, kw_only=True)
class OnOrder:
    """How many of a part are on order for a job now; 0 when they have come."""

    quantity: Annotated[int, Between(0, 9999)]
    reference: Annotated[Line | None, Says("order number")] = None
    promised: Day | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OnOrderShown:
    """What is on order of one part for a job."""

    part: str
    quantity: int
    reference: str
    promised: str


def put_on_order(
    service: Service, db: sqlite3.Connection, sender: Sender, job: str, part: str, given: OnOrder
) -> OnOrderShown:
    """Note how many of a part are on order for a job now, on its order lines.

    What is no longer on order counts as come, and is received by itself; what is on order beyond
    the lines there are makes a line of its own.
    """
    job_row(service, db, job)
    if keeping.part(db, service.site, part) is None:
        raise NotFound(f"The catalogue has no part {part}.", part=part)
    left = Number(given.quantity)
    last = ""
    for facts, now in folded(line_store.of_job(db, service.site, job)):
        if facts.kind is LineKind.PART and facts.what == part and now.outstanding:
            kept = min(left, now.outstanding)
            left -= kept
            if kept < now.outstanding:
                come = event_now(service, sender, Noted.DELIVERED, amount=now.outstanding - kept)
                line_store.add_event(db, service.site, facts.id, come)
            if kept:
                last = facts.id
                _ordered(service, db, sender, last, given)
    if left:
        _beyond(service, db, sender, job, part, last, left, given)
    return OnOrderShown(
        part=part,
        quantity=given.quantity,
        reference=given.reference or "",
        promised=given.promised or "",
    )


def _ordered(
    service: Service, db: sqlite3.Connection, sender: Sender, ident: str, given: OnOrder
) -> None:
    event = event_now(
        service, sender, Noted.ORDERED, reference=given.reference, promised=given.promised
    )
    line_store.add_event(db, service.site, ident, event)


def _beyond(
    service: Service,
    db: sqlite3.Connection,
    sender: Sender,
    job: str,
    part: str,
    last: str,
    more: Number,
    given: OnOrder,
) -> None:
    """More is on order than the lines say: the newest of them grows, or there is a first one."""
    if last:
        _, events = found(service, db, last)
        grown = event_now(service, sender, Noted.AMENDED, amount=fold(events).asked + more)
        line_store.add_event(db, service.site, last, grown)
        return
    facts = LineFacts(id=clock.new_id("o"), job=job, kind=LineKind.PART, what=part)
    begin(service, db, sender, facts, more, "")
    _ordered(service, db, sender, facts.id, given)
