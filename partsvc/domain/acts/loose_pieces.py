"""Which of the pieces that lie loose at a position are meant to be secured now."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from partsvc.domain.acts.known import heard_of
from partsvc.domain.desk import Draft
from partsvc.domain.places import Condition, Gate, loose, own_hole
from partsvc.domain.plan import Position, StackItem
from partsvc.errors import Invalid


class HowMany(Protocol):
    """How an act says which pieces of a position it means, and how many."""

    @property
    def part(self) -> str | None: ...
    @property
    def quantity(self) -> int | None: ...
    @property
    def sets(self) -> int | None: ...


def one_way_to_count(act: HowMany, parts: int) -> None:
    """Invalid when an act counts in pieces and in sets, or counts pieces of several parts."""
    if act.quantity is not None and act.sets is not None:
        raise Invalid("Say how many in `sets` or in `quantity`, not in both.", field="quantity")
    if act.quantity is not None and act.part is None and parts > 1:
        raise Invalid(
            "A set has several parts here: say `part`, or count in `sets`.", field="quantity"
        )


def loose_ones(draft: Draft, position: Position, act: HowMany) -> list[tuple[str, int]]:
    """What of a position is to be secured now: all that lies loose there, or so much."""
    lines = _lines(draft, position, act.part)
    one_way_to_count(act, len(lines))
    found: dict[str, int] = {}
    for item, parts in lines:
        for part, quantity in _of_one_line(draft, position, item, parts, act, found):
            found[part] = found.get(part, 0) + quantity
    if not any(found.values()):
        in_own_hole = draft.book.count(own_hole(position.id))
        how = (
            f"{in_own_hole} are finger-tight in their own hole: take them out first, then fit them."
            if in_own_hole
            else "Fit it first: scan the bag it comes from."
        )
        raise draft.refusal("nothing-there", f"Nothing lies loose at {position.where}. {how}")
    return [(part, quantity) for part, quantity in found.items() if quantity]


def _lines(
    draft: Draft, position: Position, part: str | None
) -> list[tuple[StackItem, tuple[str, ...]]]:
    """The loose parts by the line they are in for; a wrong part is a line of its own."""
    here = draft.book.numbers(loose(position.id))
    if part is not None:
        heard_of(draft, part)
        item = position.item(part) or StackItem(part=part)
        return [(item, tuple(one for one in item.meant_by(part) if one in here) or (part,))]
    found: dict[str, tuple[StackItem, tuple[str, ...]]] = {}
    for number in sorted(here):
        item = position.item(number) or StackItem(part=number)
        parts = tuple(one for one in item.numbers if one in here and position.item(one) == item)
        found[item.part] = (item, parts or (number,))
    return sorted(found.values(), key=lambda line: line[0].rides)


def _of_one_line(
    draft: Draft,
    position: Position,
    item: StackItem,
    parts: tuple[str, ...],
    act: HowMany,
    found: Mapping[str, int],
) -> list[tuple[str, int]]:
    there = {part: draft.book.count(loose(position.id), part) for part in parts}
    if act.quantity is None and act.sets is None:
        return list(there.items())
    in_sets = act.sets is not None
    wanted = act.quantity or max(0, (act.sets or 0) * item.per_set - item.along_with(found))
    meant = []
    for part in parts:
        covers = (item.covered_by(part) or 1) if in_sets else 1
        take = min(there[part], -(-wanted // covers))
        meant.append((part, take))
        wanted -= take * covers
    if wanted > 0:
        _more_than_loose(draft, position, parts[-1], more=wanted, there=sum(there.values()))
        meant.append((parts[-1], wanted))
    return meant


def _more_than_loose(draft: Draft, position: Position, part: str, *, more: int, there: int) -> None:
    draft.objection(
        "more-than-are-there",
        f"{position.where}: {there} {draft.words_for(part)} are in place and loose, not "
        f"{there + more}. Scan the bag the others come from; or secure what is there.",
        there=there,
    )
    draft.gate_in(
        part,
        more,
        loose(position.id),
        gate=Gate.ADDITION,
        condition=Condition.USED,
        lot=position.id,
    )
