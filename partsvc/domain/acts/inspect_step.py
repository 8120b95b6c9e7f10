"""All used pieces of a step that go back only after a look, looked at in one act."""

from __future__ import annotations

from collections.abc import Iterator

from partsvc.domain.desk import Draft
from partsvc.domain.effects import Inspected
from partsvc.domain.ledger import Holding
from partsvc.domain.parts import Rule
from partsvc.domain.places import Condition, PlaceKind, loose, own_hole, with_person
from partsvc.domain.plan import Position, StackItem, Step


def inspect_step(draft: Draft, step: Step, uses: int | None) -> None:
    """Every piece of the step that wants a look passes; what failed is said by itself before.

    Pieces whose uses are limited want their marks counted: without `uses` they are left out.
    """
    looked = 0
    for position in step.positions:
        for item in position.stack:
            if item.rule is Rule.LIMITED and uses is None and any(_used(draft, position, item)):
                draft.warn(
                    f"Left out: {draft.words_for(item.part)} at {position.where} may be used "
                    f"{item.max_uses or 1} times at most. Count the marks and say `uses`."
                )
            elif item.rule in (Rule.INSPECT, Rule.LIMITED):
                looked += _pass(draft, position, item, uses)
    if not looked:
        raise draft.refusal(
            "nothing-there",
            f"By the book nothing of step {step.number} waits for a look.",
        )


def _used(draft: Draft, position: Position, item: StackItem) -> Iterator[Holding]:
    """The used pieces of one line, in bags, in one's own box and where they hang loose."""
    lying = [held for part in item.numbers for held in draft.book.lying(part, PlaceKind.BAG)]
    for place in (own_hole(position.id), loose(position.id), with_person(draft.doing.by)):
        lying += draft.book.among(place, item.numbers)
    for held in lying:
        if held.spot.lot == position.id and held.spot.condition is Condition.USED:
            yield held


def _pass(draft: Draft, position: Position, item: StackItem, uses: int | None) -> int:
    """A look at each; what it was looked at for is said, so that the tap means something."""
    found = list(_used(draft, position, item))
    for held in found:
        draft.effect(
            Inspected(
                part=held.part,
                lot=held.spot.lot,
                quantity=held.quantity,
                passed=True,
                uses=uses if item.rule is Rule.LIMITED else None,
                place=str(held.spot.place),
            )
        )
    if found:
        criterion = item.criterion or ("marks counted" if uses is not None else "undamaged")
        draft.warn(f"{position.where}: {draft.words_for(item.part)} passed: {criterion}.")
    return len(found)
