"""Shift 2: another technician puts everything back, in the order the service gives.

A step is looked at in one act and secured in another, with the tool's setting said once for all
that takes it. What is critical, or wants its readings written down, is secured by itself.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from partsvc.domain.applications import of_phase
from partsvc.domain.parts import Part, Rule
from partsvc.domain.plan import Hold, Phase, Plan, Position, Record, Step
from partsvc.domain.progress import needs_tick
from seed.play.hand import Hand
from seed.play.readings import hold_fields, securing_fields, values

LOOKED_AT = (Rule.INSPECT, Rule.LIMITED)


@dataclass(slots=True, kw_only=True)
class Refit:
    """What a refit needs to know: plan, catalogue, the bag of each position, who is witness.

    `otherwise` are positions at which something goes wrong, `before` what happens before a step.
    """

    hand: Hand
    plan: Plan
    parts: Mapping[str, Part]
    bags: dict[str, str]
    home: Mapping[str, str]
    witness: str
    put_back: PutBack
    caps_off: PutBack
    before_close_up: Callable[[Refit, Hold], None]
    forgotten: frozenset[str] = frozenset()
    otherwise: Mapping[str, Callable[[Refit, Position], None]] = field(default_factory=dict)
    before: Mapping[str, PutBack] = field(default_factory=dict)
    acts: dict[str, str] = field(default_factory=dict)

    def beside(self) -> Refit:
        """The same refit, busy with what does not go as planned."""
        return replace(self, hand=self.hand.beside())

    def bag_at(self, position: str) -> str:
        """The tag of the bag that a position's pieces lie in."""
        return self.bags[self.home[position]]

    def secure(self, position: Position, **asked: Any) -> dict[str, Any]:
        """Secure at a position, with what it wants written down."""
        answer = self.hand.act(
            "secure", position=position.id, **(securing_fields(position) | asked)
        )
        self.acts[position.id] = answer["key"]
        return answer


PutBack = Callable[[Refit, Step], None]


def refit(work: Refit, order: list[str]) -> None:
    """Every step in the order given: caps off, pieces looked at and secured, holds passed."""
    for name in order:
        _refit_step(work, work.plan.step_of[name])


def _refit_step(work: Refit, step: Step) -> None:
    if step.id in work.before:
        work.before[step.id](work, step)
    work.caps_off(work, step)
    if step.energises and step.positions:
        work.hand.act("unlock", step=step.id)
    if step.positions:
        work.put_back(work, step)
    if needs_tick(step, Phase.REFIT):
        applied = bool(of_phase(step, Phase.REFIT)) or None
        read = values(step.readings) or None
        work.hand.act("done", step=step.id, values=read, applied=applied)
    for hold in step.holds:
        if hold.when is Phase.REFIT:
            if hold.close_up:
                work.before_close_up(work, hold)
            work.hand.act("hold", **hold_fields(hold, work.witness))


# In few acts -------------------------------------------------------------------------------------


def caps_off_together(work: Refit, step: Step) -> None:
    """Before a step begins, what is due comes off: all of one place in one act."""
    for home in work.plan.steps:
        due = [item for item in home.temporaries if item.off_before == step.id]
        off = [item for item in due if item.id not in work.forgotten]
        if off == list(home.temporaries) and off:
            work.hand.act("take-off", step=home.id)
            continue
        for item in off:
            work.hand.act("take-off", step=home.id, item=item.id, quantity=item.quantity)


def put_back_together(work: Refit, step: Step) -> None:
    """Looked at once, secured once for each setting; then what wants its own look."""
    look_at_all(work, step)
    ordinary = [one for one in step.positions if one.id not in work.otherwise]
    for position in step.positions:
        if position.id in work.otherwise:
            work.otherwise[position.id](work, position)
    together = [one for one in ordinary if not by_itself(one)]
    for said in _settings(together):
        work.hand.act("secure", step=step.id, **said)
    alone = [one for one in ordinary if by_itself(one)]
    applied = bool(of_phase(step, Phase.REFIT))
    for position in alone:
        bag = work.bag_at(position.id) if position.id in work.home and not together else None
        last = applied and position is alone[-1]
        work.secure(position, bag=bag, applied=last or None)
    if applied and not alone:
        work.hand.act("apply", step=step.id)


def look_at_all(work: Refit, step: Step) -> None:
    """All of a step that goes back only after a look, looked at in one act."""
    rules = {item.rule for one in step.positions for item in one.stack}
    if rules & set(LOOKED_AT):
        uses = 1 if Rule.LIMITED in rules else None
        work.hand.act("inspect", step=step.id, result="pass", uses=uses)


def by_itself(position: Position) -> bool:
    """Whether a position is secured by itself: critical, or with readings of its own."""
    return position.critical or position.record is Record.VALUES


def _settings(together: list[Position]) -> list[dict[str, Any]]:
    """What the tool is set to, each setting once; nothing to say where no tool is asked for."""
    said: list[dict[str, Any]] = []
    for position in together:
        fields = securing_fields(position)
        if fields and fields not in said:
            said.append(fields)
    return said or [{}] * bool(together)
