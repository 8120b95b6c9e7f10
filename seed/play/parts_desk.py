"""The parts desk: what was ordered arrives, kits are laid out, single-use pieces are exchanged.

Seals and ties come as kits in bags of their own; other single-use pieces are exchanged one for one,
the new ones into the bag the old ones came from, the old ones into the job's old-parts box.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

from partsvc.domain.order_list import successor
from partsvc.domain.parts import Part, Rule
from partsvc.domain.plan import Plan, Position, StackItem
from seed.play.bags import KIT_OF, OLD_PARTS
from seed.play.hand import Hand

Catalogue = Mapping[str, Part]


def receive(store: Hand, order: dict[str, Any], note: str) -> int:
    """All that the order lists arrives; answers how many pieces."""
    lines = [line for line in order["lines"] if line["to_order"]]
    for line in lines:
        store.act("receive", part=line["part"], quantity=line["to_order"], reference=note)
    return sum(line["to_order"] for line in lines)


def lay_out(desk: Hand, plan: Plan, parts: Catalogue, bags: Mapping[str, str], home: Any) -> None:
    """The new single-use pieces laid out, the old ones out of the way.

    What has a successor today is laid out as that: it fits where the old number is planned.
    """
    kits: Counter[tuple[str, str]] = Counter()
    for bag, part in sorted({(home[p.id], i.part) for p, i in _single_use(plan)}):
        kind = parts[part].kind
        if kind in KIT_OF:
            desk.act("discard", bag=bags[bag], part=part)
        else:
            today = successor(part, parts)
            desk.act(
                "exchange",
                bag=bags[bag],
                old_parts=bags[OLD_PARTS],
                part=part,
                new_part=today if today != part else None,
            )
    for position, item in _single_use(plan):
        if parts[item.part].kind in KIT_OF:
            today = successor(item.part, parts)
            kits[KIT_OF[parts[item.part].kind], today] += position.sets * item.per_set
    for (kit, part), quantity in sorted(kits.items()):
        desk.act("issue", bag=bags[kit], part=part, quantity=quantity)


def _single_use(plan: Plan) -> Iterator[tuple[Position, StackItem]]:
    for _, position in plan.each_position():
        for item in position.stack:
            if item.rule is Rule.REPLACE:
                yield position, item
