"""Brings order lines and the parts desk's notices along with the acts that concern them."""

from __future__ import annotations

import sqlite3
from decimal import Decimal

from partsvc.domain.desk import Doing, Draft, Drafted
from partsvc.domain.effects_supply import ReceiptUndone, Received
from partsvc.domain.notices import notices
from partsvc.domain.order_lines import LineEvent, Noted
from partsvc.store import notices as notice_store
from partsvc.store import order_lines
from partsvc.work.service import Service


def bring_along(
    service: Service, db: sqlite3.Connection, draft: Draft, drafted: Drafted, request: object
) -> None:
    """What an act did to order lines is noted there, and what concerns the desk is told to it."""
    for effect in drafted.effects:
        match effect:
            case Received(line=line) if line:
                order_lines.add_event(db, service.site, line, _came(draft.doing, effect))
            case ReceiptUndone():
                event = _event(draft.doing, Noted.TAKEN_BACK, effect.quantity)
                order_lines.add_event(db, service.site, effect.line, event)
            case _:
                continue
    for notice in notices(draft, drafted, request):
        notice_store.add(db, service.site, draft.desk.account, draft.doing.key, notice)


def _came(doing: Doing, effect: Received) -> LineEvent:
    """A delivery; of another number than was ordered, a wrong part that is taken as such."""
    noted = Noted.WRONG_PART if effect.came else Noted.DELIVERED
    return _event(doing, noted, effect.quantity, came=effect.came, reference=effect.reference)


def _event(
    doing: Doing, noted: Noted, quantity: int, *, came: str = "", reference: str = ""
) -> LineEvent:
    return LineEvent(
        n=0,
        event=noted,
        by=doing.by,
        at=doing.at,
        amount=Decimal(quantity),
        came=came,
        reference=reference,
        accepted=bool(came),
        act=doing.key,
    )
