"""Shift 1: one technician takes the pack out, step by step as the procedure says.

Whatever of a step goes into one bag comes off in one act: one scan, one tap. What lies on a shelf
or in a second bag, because it is large or looks like its neighbour, is scanned by itself.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from partsvc.domain.plan import Phase, Plan, Position, Step
from partsvc.domain.progress import needs_tick
from seed.play.hand import Hand
from seed.play.readings import hold_fields, values


@dataclass(slots=True, kw_only=True)
class Strip:
    """What taking apart needs to know: whose hands, the plan, the bag of each position.

    `instead` are steps at which something does not go as planned, `afterwards` what happens
    behind a step.
    """

    hand: Hand
    plan: Plan
    bags: dict[str, str]
    home: Mapping[str, str]
    witness: str
    take_off: TakeOff
    broke: Mapping[str, int] = field(default_factory=dict)
    missing: Mapping[str, int] = field(default_factory=dict)
    instead: Mapping[str, InStrip] = field(default_factory=dict)
    afterwards: Mapping[str, InStrip] = field(default_factory=dict)

    def bag_at(self, position: str) -> str:
        """The tag of the bag that takes what comes off at a position."""
        return self.bags[self.home[position]]


TakeOff = Callable[[Strip, Step], None]
InStrip = Callable[[Strip, Step], None]


def strip(work: Strip) -> None:
    """Everything off, holds passed where they stand, caps and covers put on.

    The service plug goes into the lock box of whoever strips, and their lock goes on.
    """
    for step in sorted(work.plan.steps, key=lambda one: one.number):
        if step.phase is not Phase.REFIT:
            _strip_step(work, step)
            if step.id in work.afterwards:
                work.afterwards[step.id](work, step)


def _strip_step(work: Strip, step: Step) -> None:
    hand = work.hand
    if step.energises:
        for position in step.positions:
            hand.act("remove", position=position.id, with_person=hand.person)
        hand.act("lock", step=step.id)
    elif step.positions:
        work.instead.get(step.id, work.take_off)(work, step)
    if needs_tick(step, Phase.STRIP):
        hand.act("done", step=step.id, values=values(step.readings) or None)
    for item in step.temporaries:
        hand.act("put-on", step=step.id, item=item.id, quantity=item.quantity)
    for hold in step.holds:
        if hold.when is not Phase.REFIT:
            hand.act("hold", **hold_fields(hold, work.witness))


def in_few_acts(work: Strip, step: Step, **told: Any) -> None:
    """What goes elsewhere first, then all the rest of the step into its bag in one act."""
    most = Counter(work.home[one.id] for one in step.positions if one.id in work.home)
    if not most:
        for position in step.positions:
            work.hand.act("loosen", position=position.id, **told)
        return
    ((name, _),) = most.most_common(1)
    for position in step.positions:
        if position.id in work.home:
            _not_with_the_rest(work, position, name, told)
    work.hand.act("remove", step=step.id, bag=work.bags[name], **told)


def _not_with_the_rest(work: Strip, position: Position, name: str, told: dict[str, Any]) -> None:
    """What is missing, broke, or goes into another bag is told of its own position."""
    missing = work.missing.get(position.id)
    if missing:
        work.hand.act("missing", position=position.id, quantity=missing)
    broke = work.broke.get(position.id)
    if broke or work.home[position.id] != name:
        bag = work.bag_at(position.id)
        work.hand.act("remove", position=position.id, bag=bag, broken=broke, **told)
