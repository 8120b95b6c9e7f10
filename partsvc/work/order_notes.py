"""What becomes of an order line, as the parts desk notes it: ordered, promised, come, refused."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from decimal import Decimal as Number
from enum import StrEnum
from typing import Annotated

from partsvc.domain.desk import WORKSHOP
from partsvc.domain.order_lines import NOTHING, LineFacts, LineKind, LineNow, Noted, fold, why_not
from partsvc.domain.order_view import LineShown
from partsvc.domain.records import Between, Day, Decimal, Line, Name, Plain, Quantity, Says, Words
from partsvc.errors import Conflict, Invalid, Stale
from partsvc.store import order_lines as line_store
from partsvc.work import clock
from partsvc.work.order_lines import event_now, found, line, positive
from partsvc.work.posting import carry_out
from partsvc.work.service import Sender, Service


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


def note(
    service: Service, db: sqlite3.Connection, sender: Sender, ident: str, given: LineNote
) -> LineShown:
    """Note what became of a line; parts that came are received into the store in the same go."""
    facts, events = found(service, db, ident)
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
        event = event_now(
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
        return positive(str(said))
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
