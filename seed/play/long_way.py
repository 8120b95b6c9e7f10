"""The same van recorded the long way, only to count: each position, each bag, each cap by itself.

Nothing goes wrong here, and nobody exchanges anything one for one: old single-use pieces are thrown
out of their bags, new ones are issued into kit bags, fitting and securing are two acts, and every
bag is looked into by a scan of its own.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from partsvc.domain.applications import of_phase
from partsvc.domain.order_list import successor
from partsvc.domain.parts import Part, PartKind, Rule
from partsvc.domain.plan import Phase, Plan, Position, StackItem, Step
from seed.play.bags import KIT_OF
from seed.play.hand import Hand
from seed.play.refitting import LOOKED_AT, Refit
from seed.play.stripping import Strip

BOLTS = "kit: bolts and screws"
CLAMPS = "kit: washers and clamps"

_KIT_OF = KIT_OF | {PartKind.BOLT: BOLTS, PartKind.SCREW: BOLTS}


def kit_of(part: Part) -> str:
    """The kit bag that takes the new pieces of a part."""
    return _KIT_OF.get(part.kind, CLAMPS)


KITS = (*KIT_OF.values(), BOLTS, CLAMPS)


def take_off(work: Strip, step: Step) -> None:
    """Each position by itself, into its bag or only loosened."""
    for position in step.positions:
        if position.loosen_only:
            work.hand.act("loosen", position=position.id)
        else:
            work.hand.act("remove", position=position.id, bag=work.bag_at(position.id))


# The parts desk -----------------------------------------------------------------------------------


def lay_out(
    desk: Hand,
    plan: Plan,
    parts: Mapping[str, Part],
    bags: Mapping[str, str],
    home: Mapping[str, str],
) -> None:
    """Old single-use pieces out of each bag, part by part; new ones issued into the kits."""
    old = sorted({(home[position.id], item.part) for position, item in _single_use(plan)})
    for bag, part in old:
        desk.act("discard", bag=bags[bag], part=part)
    new: Counter[tuple[str, str]] = Counter()
    for position, item in _single_use(plan):
        today = successor(item.part, parts)
        new[kit_of(parts[item.part]), today] += position.sets * item.per_set
    for (kit, part), quantity in sorted(new.items()):
        desk.act("issue", bag=bags[kit], part=part, quantity=quantity)


def _single_use(plan: Plan) -> Iterator[tuple[Position, StackItem]]:
    for _, position in plan.each_position():
        for item in position.stack:
            if item.rule is Rule.REPLACE:
                yield position, item


# Putting back -------------------------------------------------------------------------------------


def caps_off(work: Refit, step: Step) -> None:
    """Each cap, cover or tool that is due comes off by itself."""
    for home in work.plan.steps:
        for item in home.temporaries:
            if item.off_before == step.id:
                work.hand.act("take-off", step=home.id, item=item.id, quantity=item.quantity)


def put_back(work: Refit, step: Step) -> None:
    """Each position looked at, fitted from each of its bags, and secured, each in an act."""
    for position in step.positions:
        _look_at(work, position)
        for bag in _bags_of(work, position):
            work.hand.act("fit", position=position.id, bag=bag)
        if step.energises:
            work.hand.act("fit", position=position.id)
        work.secure(position)
    if of_phase(step, Phase.REFIT):
        work.hand.act("apply", step=step.id)


def _bags_of(work: Refit, position: Position) -> list[str]:
    """The bag with what goes back, and the kit of each single-use part."""
    if position.id not in work.home:
        return []
    kits = {
        work.bags[kit_of(work.parts[item.part])]: None
        for item in position.stack
        if item.rule is Rule.REPLACE
    }
    back = any(item.rule is not Rule.REPLACE for item in position.stack)
    return [*([work.bag_at(position.id)] if back else []), *kits]


def _look_at(work: Refit, position: Position) -> None:
    """Pieces that go back only after a look are looked at, where they lie."""
    for item in position.stack:
        if item.rule in LOOKED_AT:
            where = (
                {"position": position.id}
                if position.id not in work.home
                else {"bag": work.bag_at(position.id), "lot": position.id}
            )
            uses = 1 if item.rule is Rule.LIMITED else None
            work.hand.act("inspect", part=item.part, result="pass", uses=uses, **where)


def each_seen_empty(hand: Hand, bags: list[str]) -> None:
    """Every bag looked into by a scan of its own."""
    for bag in bags:
        hand.act("seen-empty", bags=[bag])


def each_looked_at(other: Hand, positions: list[str]) -> None:
    """Every critical position looked at by another person, each told by itself."""
    for position in positions:
        other.act("confirm", position=position)
