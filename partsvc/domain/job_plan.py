"""The plan of one job: its procedure revision, changed by what was found on this vehicle."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from partsvc.domain.effects import Effect, PositionAdded, PositionCorrected, StepAdded
from partsvc.domain.parts import Rule
from partsvc.domain.plan import Plan, Position, StackItem, Step


def job_plan(plan: Plan, effects: Iterable[Effect]) -> Plan:
    """The plan with every addition and correction of this job in it, in the ledger's order."""
    steps = {step.id: step for step in plan.steps}
    changed = False
    for effect in effects:
        match effect:
            case StepAdded():
                steps[effect.step] = _added_step(effect)
            case PositionAdded():
                step = steps[effect.step]
                added = (*step.positions, _added_position(effect))
                steps[step.id] = replace(step, positions=added)
            case PositionCorrected():
                _correct(steps, effect)
            case _:
                continue
        changed = True
    if not changed:
        return plan
    ordered = sorted(steps.values(), key=lambda step: step.number)
    return replace(plan, steps=tuple(ordered))


def _added_step(effect: StepAdded) -> Step:
    return Step(id=effect.step, number=effect.number, title=effect.title, zone=effect.zone)


def _added_position(effect: PositionAdded) -> Position:
    stack = (StackItem(part=effect.part, rule=Rule(effect.rule)),)
    return Position(
        id=effect.position,
        where=effect.where,
        sets=effect.quantity,
        stack=stack,
        loosen_only=effect.loosen_only,
    )


def _correct(steps: dict[str, Step], effect: PositionCorrected) -> None:
    for step in steps.values():
        if any(position.id == effect.position for position in step.positions):
            positions = tuple(
                corrected(position, effect) if position.id == effect.position else position
                for position in step.positions
            )
            steps[step.id] = replace(step, positions=positions)
            return


def corrected(position: Position, effect: PositionCorrected) -> Position:
    """The position as it really is on this vehicle."""
    stack = tuple(
        replace(
            item,
            part=effect.becomes or item.part,
            rule=Rule(effect.rule) if effect.rule else item.rule,
        )
        if effect.part in ("", item.part)
        else item
        for item in position.stack
    )
    return replace(position, stack=stack, sets=effect.sets or position.sets)
