"""Batches and use-by days of new parts: which pieces to hand out first, and what not to mix.

A batch is known by the lot of the pieces, so it goes with them from the shelf into a kit, into
another bag and back again. Of two batches in one bag nobody could say afterwards which was fitted.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from partsvc.domain.desk import Desk, Draft, shown_bag
from partsvc.domain.effects_supply import BatchIssued
from partsvc.domain.ledger import Holding
from partsvc.domain.lots import UNKNOWN, LotFacts
from partsvc.domain.places import STOCK, Condition, Place


def lot_facts(desk: Desk, lot: str, part: str) -> LotFacts:
    """What is known of a lot, of the shelf or handed out to this job."""
    facts = desk.lots.get((lot, part), UNKNOWN)
    for happened, issued in desk.state.each(BatchIssued):
        if happened.act == lot and issued.part == part:
            own = LotFacts(batch=issued.batch, use_by=issued.use_by)
            facts = facts.beside(own) if facts != UNKNOWN else own
    return facts


def on_shelf(draft: Draft, part: str, quantity: int, target: Place, batch: str) -> list[Holding]:
    """The pieces of a part on the shelf in the order in which they should be handed out.

    Those of the batch that was named, or that the kit holds already; those that came for this job
    before those that came for another; of what is good, what goes off first, and rather a batch
    that is enough by itself than two.
    """
    desk, day = draft.desk, draft.doing.day
    inside = {facts.batch for facts in _inside(draft, target, part)} - {""}
    there = [
        held
        for held in draft.book.at(STOCK, part)
        if not batch or lot_facts(desk, held.spot.lot, part).batch in (batch, "")
    ]
    many: dict[str, int] = defaultdict(int)
    for held in there:
        many[lot_facts(desk, held.spot.lot, part).batch] += held.quantity

    def rank(held: Holding) -> tuple[object, ...]:
        facts = lot_facts(desk, held.spot.lot, part)
        wanted = facts.batch == batch if batch else not inside or facts.batch in inside
        return (
            not wanted,
            facts.is_past(day),
            facts.job not in ("", desk.account),
            facts.job != desk.account,
            many[facts.batch] < quantity,
            facts.use_by or "9999",
            facts.batch,
            held.spot,
        )

    return sorted(there, key=rank)


def handed_out(draft: Draft, part: str, target: Place, facts: Iterable[LotFacts]) -> None:
    """Note the batches that go into a kit; object to a second one there, and to what is past."""
    dated = sorted({(one.batch, one.use_by) for one in facts if one.batch or one.use_by})
    not_mixed(draft, target, part, {batch for batch, _ in dated})
    for batch, use_by in dated:
        if LotFacts(use_by=use_by).is_past(draft.doing.day):
            draft.objection(
                "past-use-by",
                f"{draft.words_for(part)}{f' of batch {batch}' if batch else ''} was good until "
                f"{use_by}. Take pieces that are still good; put these aside.",
                use_by=use_by,
            )
        draft.effect(BatchIssued(part=part, batch=batch, use_by=use_by))


def not_mixed(draft: Draft, target: Place, part: str, coming: set[str]) -> None:
    """Object when a bag would hold two batches of one part."""
    there = {one.batch for one in _inside(draft, target, part)}
    batches = sorted((there | coming) - {""})
    if coming - {""} and len(batches) > 1:
        draft.objection(
            "one-batch-per-kit",
            f"One batch per kit tag: bag {shown_bag(target.at)} would hold "
            f"{draft.words_for(part)} of batches {', '.join(batches)}. Put the other batch into a "
            "bag of its own.",
            batches=tuple(batches),
        )


def _inside(draft: Draft, target: Place, part: str) -> list[LotFacts]:
    return [
        lot_facts(draft.desk, held.spot.lot, part)
        for held in draft.book.at(target, part)
        if held.spot.condition is Condition.NEW and held.spot.lot != draft.doing.key
    ]
