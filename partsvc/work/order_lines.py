"""Order lines as the parts desk keeps them: asked for, ordered, promised, come or not."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from decimal import Decimal as Number
from enum import StrEnum
from typing import Annotated

from partsvc.domain.desk import WORKSHOP
from partsvc.domain.order_lines import (
    NOTHING,
    LineEvent,
    LineFacts,
    LineKind,
    LineNow,
    Noted,
    fold,
    why_not,
)
from partsvc.domain.order_list import OrderList
from partsvc.domain.order_view import LineShown, LiveLine, event_shown, folded
from partsvc.domain.records import (
    Between,
    Day,
    Decimal,
    Line,
    Name,
    Plain,
    Quantity,
    Says,
    Words,
)
from partsvc.errors import Conflict, Invalid, NotFound, Stale
from partsvc.store import keeping
from partsvc.store import order_lines as line_store
from partsvc.work import clock
from partsvc.work.facts import job_desk, job_row
from partsvc.work.ordering import live_lines, order_of
from partsvc.work.posting import carry_out
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


class NoteOf(StrEnum):
    """What the desk notes on an order line."""

    ORDERED = "ordered"
    AMENDED = "amended"
    DELIVERED = "delivered"
    WRONG_PART = "wrong-part"
    BACK_ORDERED = "back-ordered"
    REFUSED = "refused"
    CANCELLED = "cancelled"


@dataclass(frozen=True, slots=True, kw_only=True)
class LineNote:
    """What became of an order line. Delivered parts are received into the store with it."""

    event: NoteOf
    quantity: Annotated[Quantity | None, Says("pieces; all that is outstanding if left out")] = None
    amount: Annotated[Decimal | None, Says("of a consumable; all if left out")] = None
    reference: Annotated[Line | None, Says("order number or delivery note")] = None
    promised: Annotated[Day | None, Says("the day it is promised for now")] = None
    came: Annotated[Line | None, Says("what came instead: its number, or in words")] = None
    accepted: Annotated[bool, Says("what came is taken as another number; else it goes back")] = (
        False
    )
    words: Annotated[Words | None, Says("what the supplier says, or why")] = None
    batch: Annotated[Name | None, Says("the maker's batch, as on the pack")] = None
    use_by: Annotated[Day | None, Says("the last day on which it is good")] = None
    seen: Annotated[
        int | None,
        Between(1, 10_000),
        Says("number of the last thing you saw noted; 412 if more was noted since"),
    ] = None


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


def line(service: Service, db: sqlite3.Connection, ident: str) -> LineShown:
    """One order line with its history."""
    facts, events = _found(service, db, ident)
    desk = job_desk(service, db, job_row(service, db, facts.job))
    (shown,) = live_lines(service, desk, [(facts, fold(events))])
    return LineShown(line=shown, history=tuple(map(event_shown, events)))


def _found(
    service: Service, db: sqlite3.Connection, ident: str
) -> tuple[LineFacts, tuple[LineEvent, ...]]:
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
    _begin(service, db, sender, facts, amount, given.words or "")
    if given.reference or given.promised:
        ordered = _event(
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
    amount = _positive(given.amount or "1")
    return _consumable(job, given.what or "", given.unit or ""), amount


def _consumable(job: str, what: str, unit: str) -> LineFacts:
    return LineFacts(id=clock.new_id("o"), job=job, kind=LineKind.CONSUMABLE, what=what, unit=unit)


def _positive(amount: str) -> Number:
    number = Number(amount)
    if number <= NOTHING:
        raise Invalid("An amount is more than nothing.", field="amount")
    return number


def _worked_on(state: str) -> None:
    if state != "open":
        raise Conflict(f"This job is {state}. Reopen it first, then ask for parts.")


def _begin(
    service: Service,
    db: sqlite3.Connection,
    sender: Sender,
    facts: LineFacts,
    amount: Number,
    words: str,
) -> None:
    line_store.add_line(db, service.site, facts)
    asked = _event(service, sender, Noted.ASKED, amount=amount, words=words)
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
    _begin(service, db, sender, facts, amount, words)
    return _found(service, db, facts.id)


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


# Noting -------------------------------------------------------------------------------------------


def note(
    service: Service, db: sqlite3.Connection, sender: Sender, ident: str, given: LineNote
) -> LineShown:
    """Note what became of a line; parts that came are received into the store in the same go."""
    facts, events = _found(service, db, ident)
    if given.seen is not None and given.seen != len(events):
        raise Stale("More was noted on this line since you looked. Look again.", line=ident)
    now, noted = fold(events), Noted(given.event.value)
    refused = why_not(now, noted)
    if refused:
        raise Conflict(refused, line=ident)
    _complete(facts, given)
    amount = _how_much(facts, now, given)
    came_in = given.event is NoteOf.DELIVERED or given.accepted
    if came_in and facts.kind is LineKind.PART:
        _receive(service, db, sender, facts, int(amount), given)
    else:
        event = _event(
            service,
            sender,
            noted,
            amount=amount,
            reference=given.reference,
            promised=given.promised,
            came=given.came,
            accepted=given.accepted,
            words=given.words,
        )
        line_store.add_event(db, service.site, ident, event)
    return line(service, db, ident)


def _complete(facts: LineFacts, given: LineNote) -> None:
    """Invalid when something that the note cannot do without was left out, or does not fit."""
    if given.event is NoteOf.REFUSED and given.words is None:
        raise Invalid("Say in `words` what the supplier answered.", field="words")
    wrong = given.event is NoteOf.WRONG_PART
    if wrong and given.came is None:
        raise Invalid("Say what came instead, by its number or in words: `came`.", field="came")
    if not wrong and (given.came is not None or given.accepted):
        raise Invalid("What came instead is noted as `wrong-part`.", field="came")
    if wrong and given.accepted and given.came == facts.what:
        raise Invalid("This is what was ordered: note it as delivered.", field="came")
    counted = facts.kind is LineKind.PART
    if (given.amount if counted else given.quantity) is not None:
        raise Invalid(
            "This line counts pieces: send `quantity`." if counted
            else "This line is in an amount: send `amount`.",
            field="amount" if counted else "quantity",
        )  # fmt: skip
    if not counted and (given.batch or given.use_by):
        raise Invalid("The batch of a consumable is said when it is applied.", field="batch")


_NEEDS_AMOUNT = (NoteOf.DELIVERED, NoteOf.WRONG_PART, NoteOf.AMENDED)


def _how_much(facts: LineFacts, now: LineNow, given: LineNote) -> Number:
    said = given.quantity if facts.kind is LineKind.PART else given.amount
    if said is not None:
        return _positive(str(said))
    if given.event not in _NEEDS_AMOUNT:
        return NOTHING
    if given.event is NoteOf.AMENDED or not now.outstanding:
        field = "quantity" if facts.kind is LineKind.PART else "amount"
        raise Invalid(f"Say how much in `{field}`.", field=field)
    return now.outstanding


def _receive(
    service: Service,
    db: sqlite3.Connection,
    sender: Sender,
    facts: LineFacts,
    quantity: int,
    given: LineNote,
) -> None:
    """What came is in the store from now on; the receipt notes itself on the line."""
    optional = {
        "batch": given.batch, "use_by": given.use_by, "reference": given.reference,
        "note": given.words,
    }  # fmt: skip
    payload: dict[str, Plain] = {
        "key": clock.new_key(),
        "kind": "receive",
        "part": given.came or facts.what,
        "quantity": quantity,
        "order": facts.id,
        **{name: value for name, value in optional.items() if value is not None},
    }
    carry_out(service, db, WORKSHOP, sender, payload)


def _event(
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


# How many are on order now, said in one go -------------------------------------------------------


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
                come = _event(service, sender, Noted.DELIVERED, amount=now.outstanding - kept)
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
    event = _event(
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
        _, events = _found(service, db, last)
        grown = _event(service, sender, Noted.AMENDED, amount=fold(events).asked + more)
        line_store.add_event(db, service.site, last, grown)
        return
    facts = LineFacts(id=clock.new_id("o"), job=job, kind=LineKind.PART, what=part)
    _begin(service, db, sender, facts, more, "")
    _ordered(service, db, sender, facts.id, given)
