"""The parts desk: what was ordered arrives, and single-use pieces are exchanged a bag at a time.

One scan of a bag and one of the old-parts bag: what may not go back leaves, as many new ones come
in. What has a successor today is laid out as that: it fits where the old number is planned.
"""

from __future__ import annotations

from typing import Any

from partsvc.domain.parts import Rule
from seed.play.bags import OLD_PARTS
from seed.play.hand import Hand
from seed.play.job import Played


def receive(store: Hand, order: dict[str, Any], note: str) -> int:
    """All that the order lists arrives; answers how many pieces."""
    lines = [line for line in order["lines"] if line["to_order"]]
    for line in lines:
        store.act("receive", part=line["part"], quantity=line["to_order"], reference=note)
    return sum(line["to_order"] for line in lines)


def exchange_all(desk: Hand, van: Played, *broke: str) -> None:
    """Every bag with single-use pieces exchanged as a whole; those too where something `broke`."""
    single_use = [
        van.home[position.id]
        for _, position in van.plan.each_position()
        if any(item.rule is Rule.REPLACE for item in position.stack)
    ]
    for name in sorted({*single_use, *(van.home[position] for position in broke)}):
        desk.act("exchange", bag=van.bags[name], old_parts=van.bags[OLD_PARTS])
