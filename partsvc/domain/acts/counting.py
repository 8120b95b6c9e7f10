"""Blind counts and what follows from them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.fields import BagCode, PartNumber, Why
from partsvc.domain.acts.kinds import ActKind, Needs
from partsvc.domain.acts.known import heard_of
from partsvc.domain.desk import Draft, shown_bag, total
from partsvc.domain.effects import CountAdjusted, CountTaken
from partsvc.domain.job_state import Happened
from partsvc.domain.ledger import Holding
from partsvc.domain.places import (
    Condition,
    Gate,
    bag,
    lost,
)
from partsvc.domain.records import AtMost, Between, Counted, Key, Says
from partsvc.errors import Invalid, NotFound


@dataclass(frozen=True, slots=True, kw_only=True)
class CountedPart:
    """So many of one part were counted."""

    part: PartNumber
    quantity: Counted


@dataclass(frozen=True, slots=True, kw_only=True)
class Count:
    """What is in a bag was counted, without looking at the book."""

    bag: BagCode
    counted: Annotated[tuple[CountedPart, ...], AtMost(100), Says("leave empty for nothing there")]
    seen_seq: Annotated[
        int | None, Between(0, 2**53 - 1), Says("the ledger's number when the bag was opened")
    ] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Adjust:
    """The difference of a count is posted, by another person."""

    count: Annotated[Key, Says("the key of the count")]
    reason: Why


def count(draft: Draft, act: Count) -> None:
    """What was counted stands beside what the book had; nothing is changed by counting."""
    place = draft.use_bag(act.bag)
    counted = {one.part: one.quantity for one in act.counted}
    if len(counted) < len(act.counted):
        raise Invalid("The same part is counted twice; add the numbers up.", field="counted")
    for part in counted:
        heard_of(draft, part)
    held = draft.book.at(place)
    stale = act.seen_seq is not None and draft.desk.touched.get(str(place), 0) > act.seen_seq
    for part in sorted({one.part for one in held} | set(counted)):
        book = total(one for one in held if one.part == part)
        taken = CountTaken(
            bag=act.bag, part=part, counted=counted.get(part, 0), book=book, stale=stale
        )
        draft.effect(taken)
        tell(draft, taken)
    if stale:
        draft.warn("The bag was moved from or into since you opened it: count again.")


def tell(draft: Draft, taken: CountTaken) -> None:
    """Warn whoever counted that the book has another number."""
    if taken.counted != taken.book:
        draft.warn(
            f"Bag {shown_bag(taken.bag)}: {taken.counted} {draft.words_for(taken.part)} counted, "
            f"{taken.book} by the book. Look again, or have another person adjust it."
        )


def adjust(draft: Draft, act: Adjust) -> None:
    """The differences of a count are posted by somebody who did not count."""
    taken = draft.desk.state.counts.get(act.count)
    if not taken:
        raise NotFound("There is no such count on this job.", count=act.count)
    if act.count in draft.desk.state.adjusted:
        raise draft.refusal("already-adjusted", "This count was adjusted before.")
    if taken[0].people & draft.doing.people:
        draft.same_person(
            "Who counted does not also adjust: ask another person to look into the bag.",
            high_voltage=False,
        )
    for happened in taken:
        if isinstance(happened.effect, CountTaken):
            _post_difference(draft, happened, happened.effect)
    draft.effect(CountAdjusted(count=act.count))


def _post_difference(draft: Draft, happened: Happened, taken: CountTaken) -> None:
    place = bag(taken.bag)
    there = draft.book.at(place, taken.part)
    moved = draft.desk.touched.get(str(place), 0) > happened.seq
    if moved or taken.stale or total(there) != taken.book:
        raise draft.refusal(
            "stale-count",
            f"Bag {shown_bag(taken.bag)} has changed since the count. Count it again.",
        )
    for held in draft.draw(there, taken.book - taken.counted):
        draft.carry(held, lost(str(place)))
    over = taken.counted - taken.book
    if over > 0:
        found = draft.draw(draft.book.at(lost(str(place)), taken.part), over)
        for held in found:
            draft.carry(held, place)
        _let_in_the_rest(draft, taken, over - total(found), there)


def _let_in_the_rest(
    draft: Draft, taken: CountTaken, quantity: int, there: tuple[Holding, ...]
) -> None:
    if quantity:
        lot = there[0].spot.lot if there else f"count:{draft.doing.key}"
        draft.gate_in(
            taken.part,
            quantity,
            bag(taken.bag),
            gate=Gate.COUNT_OVER,
            condition=there[0].spot.condition if there else Condition.USED,
            lot=lot,
        )


KINDS = (
    ActKind(
        kind="count",
        group="truth",
        request=Count,
        function=count,
        needs=frozenset({Needs.TOUCHED}),
        says="What is in a bag was counted, without looking at the book.",
        example={"bag": "7K3M-9HWZ", "counted": [{"part": "KF-1110", "quantity": 6}]},
    ),
    ActKind(
        kind="adjust",
        group="truth",
        request=Adjust,
        function=adjust,
        needs=frozenset({Needs.TOUCHED}),
        says="The difference of a count is posted, by another person.",
        example={"count": "0b9b4a5e-6a52-4c0e-9a53-6f0f6f1f6a01", "reason": "counted twice"},
    ),
)
