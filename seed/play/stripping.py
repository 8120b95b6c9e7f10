"""Shift 1: one technician takes the pack out, step by step as the procedure says."""

from __future__ import annotations

from collections.abc import Mapping

from partsvc.domain.plan import Phase, Plan, Position, Step
from partsvc.domain.progress import needs_tick
from seed.play.hand import Hand
from seed.play.readings import hold_fields, values

# How this van differs from what the plan expects.
BROKE = {"SC-L2": 1}
MISSING = {"SC-R3": 1}

Bags = Mapping[str, str]


def strip(hand: Hand, plan: Plan, bag_at: Bags, *, witness: str) -> None:
    """Everything off, holds passed where they stand, caps and covers put on.

    The service plug goes into the lock box of whoever strips, and their lock goes on.
    """
    for step in sorted(plan.steps, key=lambda one: one.number):
        if step.phase is not Phase.REFIT:
            _strip_step(hand, step, bag_at, witness)


def _strip_step(hand: Hand, step: Step, bag_at: Bags, witness: str) -> None:
    for position in step.positions:
        if step.energises:
            hand.act("remove", position=position.id, with_person=hand.person)
            hand.act("lock", step=step.id)
        else:
            _take_off(hand, position, bag_at)
    if needs_tick(step, Phase.STRIP):
        hand.act("done", step=step.id, values=values(step.readings) or None)
    for item in step.temporaries:
        hand.act("put-on", step=step.id, item=item.id, quantity=item.quantity)
    for hold in step.holds:
        if hold.when is not Phase.REFIT:
            hand.act("hold", **hold_fields(hold, witness))


def _take_off(hand: Hand, position: Position, bag_at: Bags) -> None:
    if position.loosen_only:
        hand.act("loosen", position=position.id)
        return
    if position.id in MISSING:
        hand.act("missing", position=position.id, quantity=MISSING[position.id])
    hand.act(
        "remove",
        position=position.id,
        bag=bag_at[position.id],
        broken=BROKE.get(position.id),
    )
