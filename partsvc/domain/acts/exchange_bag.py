"""A whole bag exchanged one for one: what may not go back leaves it, as many new ones come in."""

from __future__ import annotations

from collections import Counter

from partsvc.domain.accepted_numbers import is_kit, successors
from partsvc.domain.acts.handing_out import IssueFrom, hand_out
from partsvc.domain.desk import Draft
from partsvc.domain.ledger import Holding
from partsvc.domain.parts import Rule
from partsvc.domain.places import Condition, Place
from partsvc.domain.plan import StackItem


def exchange_bag(draft: Draft, source: Place, old_parts: Place, given_from: IssueFrom) -> None:
    """Single-use and broken pieces to the old-parts bag, as many new ones in their place.

    What may go back stays; what has no number yet stays too, and is named.
    """
    new: Counter[str] = Counter()
    for held in draft.book.at(source):
        if held.spot.condition is not Condition.NEW and _is_spent(draft, held):
            number = _new_number(draft, held)
            if number:
                draft.carry(held, old_parts)
                new[number] += held.quantity
    if not new:
        raise draft.refusal(
            "nothing-to-exchange",
            "By the book nothing in this bag is single-use or broken. What you want to exchange "
            "all the same, name by its `part`.",
        )
    for part, quantity in sorted(new.items()):
        hand_out(draft, part, quantity, source, given_from)


def _lines(draft: Draft, held: Holding) -> list[StackItem]:
    """The lines of the plan that a piece is for: those of its home, or of all positions."""
    plan = draft.desk.plan
    home = plan.positions.get(held.spot.lot)
    positions = [home] if home else list(plan.positions.values())
    return [item for one in positions if (item := one.item(held.part)) is not None]


def _is_spent(draft: Draft, held: Holding) -> bool:
    lines = _lines(draft, held)
    never_back = bool(lines) and all(item.rule is Rule.REPLACE for item in lines)
    return held.spot.condition is Condition.DAMAGED or never_back


def _new_number(draft: Draft, held: Holding) -> str:
    """The number handed out today for a piece; empty if the catalogue has none to hand out."""
    accepted = {number for item in _lines(draft, held) for number in item.numbers}
    today = held.part
    for number, _ in successors(held.part, draft.desk.parts):
        today = number if number in accepted else today
    part = draft.desk.parts.get(today)
    if part is None or is_kit(part):
        draft.warn(
            f"{held.quantity} {draft.words_for(held.part)} stay in the bag: none goes one for "
            "one. Name the part first, or issue its kit."
        )
        return ""
    return today
