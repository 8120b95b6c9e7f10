"""Which used pieces somebody has to look at before they go back, and nobody has yet.

A list that shows this asks once: the look, then one tap for all that was looked at.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence

from partsvc.domain.desk import Desk
from partsvc.domain.inspection import looks_used, waiting
from partsvc.domain.ledger import Holding, Posted
from partsvc.domain.parts import Rule
from partsvc.domain.places import Condition, PlaceKind, own_hole
from partsvc.domain.plan import Position, StackItem
from partsvc.domain.reuse import renamed
from partsvc.domain.use_counts import UseCounts, use_counts


def looks_due(desk: Desk) -> Mapping[str, int]:
    """How many pieces of each position still want a look; needs the entries."""
    by_part: dict[str, list[Posted]] = defaultdict(list)
    for posted in renamed(desk.posted)[0]:
        by_part[posted.entry.part].append(posted)
    counts = use_counts(desk)
    found: dict[str, int] = defaultdict(int)
    for _, position in desk.plan.each_position():
        for item in position.stack:
            if item.rule is Rule.LIMITED:
                found[position.id] += _not_counted(desk, counts, position, item)
            elif item.rule is Rule.INSPECT:
                found[position.id] += _not_seen(desk, by_part, position, item)
    return {position: due for position, due in found.items() if due}


def _off(desk: Desk, position: Position, part: str) -> list[Holding]:
    """Its own used pieces that lie in bags, in boxes or in their own hole."""
    lying = [
        held for kind in (PlaceKind.BAG, PlaceKind.WITH) for held in desk.book.lying(part, kind)
    ]
    lying += desk.book.among(own_hole(position.id), (part,))
    return [
        held
        for held in lying
        if held.spot.lot == position.id and held.spot.condition is Condition.USED
    ]


def _not_counted(desk: Desk, counts: UseCounts, position: Position, item: StackItem) -> int:
    """Pieces of limited use of which nobody knows how often they were used."""
    return sum(
        one.times is None
        for part in item.numbers
        for held in _off(desk, position, part)
        for one in counts.pieces(part, held.spot)[: held.quantity]
    )


def _not_seen(
    desk: Desk, by_part: Mapping[str, Sequence[Posted]], position: Position, item: StackItem
) -> int:
    due = 0
    for part in item.numbers:
        posted = by_part.get(part, ())
        loosened = waiting(posted, part, position.id).loosened.get(position.id, 0)
        wanted = sum(held.quantity for held in _off(desk, position, part)) + loosened
        if wanted:
            looked = desk.state.passed(part, position.id) - looks_used(posted, part, position.id)
            due += max(0, wanted - max(0, looked))
    return due
