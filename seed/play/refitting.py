"""Shift 2: another technician puts everything back, in the order the service gives."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from partsvc.domain.applications import of_phase
from partsvc.domain.parts import Part, Rule
from partsvc.domain.plan import Hold, Phase, Plan, Position, Step
from partsvc.domain.progress import needs_tick
from seed.play.bags import KIT_OF
from seed.play.hand import Hand
from seed.play.readings import hold_fields, securing_fields, values

LOOKED_AT = (Rule.INSPECT, Rule.LIMITED)


@dataclass(slots=True, kw_only=True)
class Refit:
    """What a refit needs to know: plan, catalogue, the bag of each position, who is witness."""

    hand: Hand
    plan: Plan
    parts: Mapping[str, Part]
    bags: Mapping[str, str]
    home: Mapping[str, str]
    witness: str
    forgotten: frozenset[str]
    otherwise: Mapping[str, Callable[[Refit, Position], None]]
    before_close_up: Callable[[Refit, Hold], None]
    acts: dict[str, str] = field(default_factory=dict)

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


def refit(work: Refit, order: list[str]) -> None:
    """Every step in the order given: caps off, pieces looked at and secured, holds passed."""
    for name in order:
        _refit_step(work, work.plan.step_of[name])


def _refit_step(work: Refit, step: Step) -> None:
    _caps_off(work, step)
    if step.energises and step.positions:
        work.hand.act("unlock", step=step.id)
    for position in step.positions:
        look_at(work, position)
        work.otherwise.get(position.id, put_back)(work, position)
    if needs_tick(step, Phase.REFIT):
        work.hand.act(
            "done", step=step.id, values=values(step.readings) or None, applied=_applied(step)
        )
    for hold in step.holds:
        if hold.when is Phase.REFIT:
            if hold.close_up:
                work.before_close_up(work, hold)
            work.hand.act("hold", **hold_fields(hold, work.witness))


def _applied(step: Step) -> bool | None:
    """Whether the tap that finishes a step also says that all it asks for was applied."""
    return bool(of_phase(step, Phase.REFIT)) or None


def _caps_off(work: Refit, step: Step) -> None:
    """Before a step begins, what has to be off the vehicle by then is taken off."""
    for home in work.plan.steps:
        for item in home.temporaries:
            if item.off_before == step.id and item.id not in work.forgotten:
                work.hand.act("take-off", step=home.id, item=item.id, quantity=item.quantity)


def look_at(work: Refit, position: Position) -> None:
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


def put_back(work: Refit, position: Position) -> None:
    """One scan of each bag that holds something for this position, and all is in and secured."""
    step = work.plan.home_step[position.id]
    last = _applied(step) if position is step.positions[-1] else None
    if position.id not in work.home:  # it hangs there loose, or is in one's own lock box
        work.secure(position, applied=last)
        return
    from_kits = [item for item in position.stack if _kit(work, item.part, item.rule)]
    if len(from_kits) < len(position.stack):
        done = last if not from_kits else None
        work.secure(position, bag=work.bag_at(position.id), applied=done)
    for item in from_kits:
        done = last if item is from_kits[-1] else None
        work.secure(position, bag=work.bags[_kit(work, item.part, item.rule)], applied=done)


def _kit(work: Refit, part: str, rule: Rule) -> str:
    return KIT_OF.get(work.parts[part].kind, "") if rule is Rule.REPLACE else ""
