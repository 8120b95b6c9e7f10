"""New pieces into a bag: off the shelf, straight from a delivery, or past the store's book."""

from __future__ import annotations

from enum import StrEnum

from partsvc.domain.batches import handed_out, lot_facts, on_shelf
from partsvc.domain.desk import WORKSHOP, Draft, total
from partsvc.domain.ledger import Holding, Spot
from partsvc.domain.lots import UNKNOWN, LotFacts
from partsvc.domain.places import STOCK, Condition, Gate, Place, outside


class IssueFrom(StrEnum):
    """Where issued parts come from."""

    STOCK = "stock"
    BENCH = "bench"
    DELIVERED = "delivered"
    BOUGHT = "bought"


def hand_out(
    draft: Draft,
    part: str,
    quantity: int,
    target: Place,
    source: IssueFrom,
    given: LotFacts = UNKNOWN,
) -> None:
    """New pieces into a bag, from the store or past it; the lot is this act."""
    into = Spot(draft.desk.account, target, Condition.NEW, draft.doing.key)
    taken: list[Holding] = []
    if source is IssueFrom.STOCK:
        shelf = on_shelf(draft, part, quantity, target, given.batch)
        taken = draft.draw(shelf, quantity)
        _for_another_job(draft, taken)
    known = [lot_facts(draft.desk, held.spot.lot, part) for held in taken]
    known = [one if one.batch or one.use_by else given for one in known]
    handed_out(draft, part, target, [*known, *([given] if total(taken) < quantity else [])])
    for held in taken:
        draft.move(part, held.quantity, held.spot, into)
    _not_from_the_shelf(draft, part, quantity - total(taken), into, source)


def _for_another_job(draft: Draft, taken: list[Holding]) -> None:
    others = [
        held
        for held in taken
        if lot_facts(draft.desk, held.spot.lot, held.part).job not in ("", draft.desk.account)
    ]
    if others:
        draft.warn(
            f"{total(others)} {draft.words_for(others[0].part)} of these came for another job; "
            "tell the parts desk."
        )


def _not_from_the_shelf(
    draft: Draft, part: str, quantity: int, into: Spot, source: IssueFrom
) -> None:
    """What the shelf's book did not have, or what did not come from there."""
    if not quantity:
        return
    if source is IssueFrom.DELIVERED:
        gate = Spot(draft.desk.account, outside(Gate.RECEIPT), Condition.NEW, draft.doing.key)
        draft.move(part, quantity, gate, into)
        return
    if source is IssueFrom.STOCK:
        draft.warn(
            f"The store's book was {quantity} {draft.words_for(part)} short; the parts desk "
            "will see an unbooked receipt."
        )
    _past_the_book(draft, part, quantity, into)


def _past_the_book(draft: Draft, part: str, quantity: int, into: Spot) -> None:
    """Stock nobody booked: into the store by an unbooked receipt, and straight out again."""
    lot = draft.doing.key
    gate = Spot(WORKSHOP, outside(Gate.UNBOOKED_RECEIPT), Condition.NEW, lot)
    shelf = Spot(WORKSHOP, STOCK, Condition.NEW, lot)
    draft.move(part, quantity, gate, shelf)
    draft.move(part, quantity, shelf, into)
