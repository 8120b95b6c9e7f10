"""Order lines as the parts desk keeps them: asked for, ordered, promised, come or not."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from decimal import Decimal as Number
from typing import Annotated

from partsvc.domain.order_lines import (
    NOTHING,
    LineEvent,
    LineFacts,
    LineKind,
    Noted,
    fold,
)
from partsvc.domain.order_list import OrderList
from partsvc.domain.order_view import LineShown, LiveLine, event_shown, folded
from partsvc.domain.records import (
    Day,
    Decimal,
    Line,
    Name,
    Quantity,
    Says,
    Words,
)
from partsvc.errors import Conflict, Invalid, NotFound
from partsvc.store import keeping
from partsvc.store import order_lines as line_store
from partsvc.work import clock
from partsvc.work.facts import job_desk, job_row
from partsvc.work.ordering import live_lines, order_of
from partsvc.work.service import Sender, Service


@dataclass(frozen=True, slots=True, kw_only=True)
class NewLine:
    """Something asked for on a job: a part in pieces, or a consumable in an amount of its unit."""

    part: Annotated[Name | None, Says("the part's number in the catalogue")] = None
    quantity: Annotated[Quantity | None, Says("how many pieces")] = None
    what: Annotated[Line | None, Says("a consumable, as the plan calls it")] = None
    amount: Annotated[Decimal | None, Says("how much of the consumable")] = None
    unit: Annotated[Name | None, Says("the unit of the amount")] = None
    reference: Annotated[Line | None, Says("order number, if it is ordered already")] = None
    promised: Annotated[Day | None, Says("the day it is promised for, if it is ordered")] = None
    words: Words | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LinesShown:
    """The order lines of a job, in the order in which they were asked for."""

    lines: tuple[LiveLine, ...]


def lines_of(service: Service, job: str) -> LinesShown:
    """All order lines of a job with where they stand."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        lines = folded(line_store.of_job(db, service.site, job))
        return LinesShown(lines=live_lines(service, job_desk(service, db, row), lines))


def histories_of(service: Service, job: str) -> tuple[LineShown, ...]:
    """All order lines of a job, each with all that was noted on it."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        kept = line_store.of_job(db, service.site, job)
        shown = live_lines(service, job_desk(service, db, row), folded(kept))
        return tuple(
            LineShown(line=one, history=tuple(map(event_shown, events)))
            for one, events in zip(shown, kept.values(), strict=True)
        )


def line(service: Service, db: sqlite3.Connection, ident: str) -> LineShown:
    """One order line with its history."""
    facts, events = found(service, db, ident)
    desk = job_desk(service, db, job_row(service, db, facts.job))
    (shown,) = live_lines(service, desk, [(facts, fold(events))])
    return LineShown(line=shown, history=tuple(map(event_shown, events)))


def found(
    service: Service, db: sqlite3.Connection, ident: str
) -> tuple[LineFacts, tuple[LineEvent, ...]]:
    """An order line with all that was noted on it; NotFound if there is none of that id."""
    found = line_store.line(db, service.site, ident)
    if found is None:
        raise NotFound(
            f"There is no order line {ident}. Look at the order of the job for its lines.",
            line=ident,
        )
    return found


# Asking -------------------------------------------------------------------------------------------


def add(
    service: Service, db: sqlite3.Connection, sender: Sender, job: str, given: NewLine
) -> LineShown:
    """Ask for something on a job; with an order number or a promise, it is ordered already."""
    _worked_on(job_row(service, db, job)["state"])
    facts, amount = _asked_for(service, db, job, given)
    begin(service, db, sender, facts, amount, given.words or "")
    if given.reference or given.promised:
        ordered = event_now(
            service, sender, Noted.ORDERED, reference=given.reference, promised=given.promised
        )
        line_store.add_event(db, service.site, facts.id, ordered)
    return line(service, db, facts.id)


def _asked_for(
    service: Service, db: sqlite3.Connection, job: str, given: NewLine
) -> tuple[LineFacts, Number]:
    if (given.part is None) is (given.what is None):
        raise Invalid("Say either a `part` or `what` consumable it is.", field="part")
    if given.part is not None:
        if given.quantity is None or given.amount is not None or given.unit is not None:
            raise Invalid("Parts are asked for in pieces: send `quantity` only.", field="quantity")
        if keeping.part(db, service.site, given.part) is None:
            raise NotFound(f"The catalogue has no part {given.part}.", part=given.part)
        facts = LineFacts(id=clock.new_id("o"), job=job, kind=LineKind.PART, what=given.part)
        return facts, Number(given.quantity)
    if given.quantity is not None:
        raise Invalid("A consumable is asked for in `amount` and `unit`.", field="quantity")
    amount = positive(given.amount or "1")
    return _consumable(job, given.what or "", given.unit or ""), amount


def _consumable(job: str, what: str, unit: str) -> LineFacts:
    return LineFacts(id=clock.new_id("o"), job=job, kind=LineKind.CONSUMABLE, what=what, unit=unit)


def positive(amount: str) -> Number:
    """An amount as sent; Invalid unless it is more than nothing."""
    number = Number(amount)
    if number <= NOTHING:
        raise Invalid("An amount is more than nothing.", field="amount")
    return number


def _worked_on(state: str) -> None:
    if state != "open":
        raise Conflict(f"This job is {state}. Reopen it first, then ask for parts.")


def begin(
    service: Service,
    db: sqlite3.Connection,
    sender: Sender,
    facts: LineFacts,
    amount: Number,
    words: str,
) -> None:
    """A new line, asked for by who is signed in."""
    line_store.add_line(db, service.site, facts)
    asked = event_now(service, sender, Noted.ASKED, amount=amount, words=words)
    line_store.add_event(db, service.site, facts.id, asked)


def ask_for_all(service: Service, db: sqlite3.Connection, sender: Sender, job: str) -> LinesShown:
    """Ask for all that is to be ordered for a job now, each on a line of its own."""
    row = job_row(service, db, job)
    _worked_on(row["state"])
    made = [
        _begun(service, db, sender, facts, amount, words)
        for facts, amount, words in _to_ask(job, order_of(service, db, row))
    ]
    lines = [(facts, fold(events)) for facts, events in made]
    return LinesShown(lines=live_lines(service, job_desk(service, db, row), lines))


def _begun(
    service: Service,
    db: sqlite3.Connection,
    sender: Sender,
    facts: LineFacts,
    amount: Number,
    words: str,
) -> tuple[LineFacts, tuple[LineEvent, ...]]:
    begin(service, db, sender, facts, amount, words)
    return found(service, db, facts.id)


def _to_ask(job: str, order: OrderList) -> list[tuple[LineFacts, Number, str]]:
    parts = [
        (
            LineFacts(id=clock.new_id("o"), job=job, kind=LineKind.PART, what=one.part),
            Number(one.to_order),
            ", ".join([*one.why, *([f"{one.spare} spare"] if one.spare else [])]),
        )
        for one in order.lines
        if one.to_order
    ]
    consumables = [
        (
            _consumable(job, one.what, one.unit),
            Number(one.to_order),
            f"for steps {', '.join(map(str, one.steps))}",
        )
        for one in order.consumables
        if one.to_order
    ]
    return [*parts, *consumables]


def event_now(
    service: Service,
    sender: Sender,
    noted: Noted,
    *,
    amount: Number = NOTHING,
    reference: str | None = None,
    promised: str | None = None,
    came: str | None = None,
    accepted: bool = False,
    words: str | None = None,
) -> LineEvent:
    """Something noted on a line by who is signed in, now; its number comes when it is kept."""
    return LineEvent(
        n=0,
        event=noted,
        by=sender.person,
        at=service.stamp(),
        amount=amount,
        reference=reference or "",
        promised=promised or "",
        came=came or "",
        accepted=accepted,
        words=words or "",
    )
