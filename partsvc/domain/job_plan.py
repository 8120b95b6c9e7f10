"""The plan of one job: its procedure revision, changed by what was found on this vehicle."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from partsvc.domain.effects import Effect, PositionAdded, PositionCorrected, StepAdded
from partsvc.domain.effects_variants import CountFound, NotApplying
from partsvc.domain.parts import Rule
from partsvc.domain.plan import Plan, Position, StackItem, Step
from partsvc.domain.plan_splice import without


def begun(plan: Plan) -> Plan:
    """The plan as a job begins on it: where the count is as found, nothing is counted yet."""
    if not any(position.as_found for _, position in plan.each_position()):
        return plan
    return replace(plan, steps=tuple(map(_uncounted, plan.steps)))


def _uncounted(step: Step) -> Step:
    positions = tuple(replace(one, sets=0) if one.as_found else one for one in step.positions)
    return replace(step, positions=positions)


def job_plan(plan: Plan, effects: Iterable[Effect]) -> Plan:
    """The plan with every addition and correction of this job in it, in the ledger's order."""
    steps = {step.id: step for step in plan.steps}
    not_here: list[NotApplying] = []
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
            case CountFound():
                _correct(steps, PositionCorrected(position=effect.position, sets=effect.sets))
            case NotApplying():
                not_here.append(effect)
            case _:
                continue
        changed = True
    if not changed:
        return plan
    left = _as_on_this_vehicle(steps, not_here)
    ordered = sorted(left.values(), key=lambda step: step.number)
    return replace(plan, steps=tuple(ordered))


def _as_on_this_vehicle(steps: dict[str, Step], not_here: Iterable[NotApplying]) -> dict[str, Step]:
    """Without what this vehicle does not have; a step with nothing left in it goes whole."""
    gone: dict[str, None] = {}
    for effect in not_here:
        step = steps.get(effect.step)
        if step is None:
            continue
        if effect.position:
            positions = tuple(one for one in step.positions if one.id != effect.position)
            step = replace(step, positions=positions)
            steps[step.id] = step
            _nothing_lies_on(steps, effect.position)
        else:
            for position in step.positions:
                _nothing_lies_on(steps, position.id)
        if not effect.position or _is_bare(step):
            gone[step.id] = None
    return without(steps, gone) if gone else steps


def _nothing_lies_on(steps: dict[str, Step], carrier: str) -> None:
    """What was planned to lie on a piece that is not there sits on the vehicle itself."""
    for step in tuple(steps.values()):
        if any(one.on == carrier for one in step.positions):
            positions = tuple(
                replace(one, on="") if one.on == carrier else one for one in step.positions
            )
            steps[step.id] = replace(step, positions=positions)


def _is_bare(step: Step) -> bool:
    """Whether a step is nothing but its name and its order."""
    name = Step(id=step.id, number=step.number, title=step.title, zone=step.zone, phase=step.phase)
    return replace(step, after=(), refit_after=(), hazards=(), cautions=()) == name


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
        on=effect.on,
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
            # What may stand for a part does not stand for another one.
            accepts=() if effect.becomes not in ("", item.part) else item.accepts,
        )
        if effect.part in ("", item.part)
        else item
        for item in position.stack
    )
    return replace(position, stack=stack, sets=effect.sets or position.sets)
