"""The plan of a job, with all that was found while stripping, as a procedure for the next one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from partsvc.domain import plan_walk as walk
from partsvc.domain.parts import is_stray, is_unnamed
from partsvc.domain.plan import Phase, Plan, Step
from partsvc.domain.records import Fault


def unnamed(plan: Plan) -> tuple[Fault, ...]:
    """What has to be named before the plan can be a procedure: parts known by photo and count."""
    return tuple(
        mark.called(position.where).at("part").says("has no part number yet; name it first").fault()
        for mark, _, position in walk.positions(plan)
        for item in position.stack
        if is_unnamed(item.part) or is_stray(item.part)
    )


def as_procedure(
    plan: Plan, *, planned: Plan, ranks: Mapping[str, int], key: str, title: str
) -> Plan:
    """The job's plan under the procedure's key and title, its added steps in their place.

    `planned` is the revision the job was opened on, `ranks` the real order of stripping. What was
    planned keeps its prerequisites. A step that was added while stripping waits, next time, for
    the step that was begun just before it in the same zone: what lies in one zone mostly lies
    behind one another, while zones are worked side by side, and two people must not be made to
    wait for each other for no reason. The first one in its zone, and a step that nothing was
    taken off in, waits for nothing. A lead may put it right in the file.
    """
    plan = _with_planned_numbers(plan, planned)
    steps = tuple(
        _counted_anew(step)
        if step.id in planned.step_of
        else _after_the_one_before(step, plan, ranks)
        for step in plan.steps
    )
    return replace(plan, key=key, title=title, steps=steps)


def _with_planned_numbers(plan: Plan, planned: Plan) -> Plan:
    """Without the numbers accepted on this vehicle, or by the catalogue, which is asked anew."""
    accepts = {
        (position.id, item.part): item.accepts
        for _, position in planned.each_position()
        for item in position.stack
    }
    return replace(
        plan,
        steps=tuple(
            replace(
                step,
                positions=tuple(
                    replace(
                        one,
                        stack=tuple(
                            replace(item, accepts=accepts.get((one.id, item.part), ()))
                            for item in one.stack
                        ),
                    )
                    for one in step.positions
                ),
            )
            for step in plan.steps
        ),
    )


def _counted_anew(step: Step) -> Step:
    """A count as found is found anew on the next vehicle; a procedure states at least one set."""
    positions = tuple(replace(one, sets=max(1, one.sets)) for one in step.positions)
    return replace(step, positions=positions)


def _after_the_one_before(step: Step, plan: Plan, ranks: Mapping[str, int]) -> Step:
    rank = ranks.get(step.id)
    if rank is None or step.after:
        return step
    earlier = [
        other
        for other in plan.steps
        if other.zone == step.zone
        and other.phase is not Phase.REFIT
        and ranks.get(other.id, rank) < rank
    ]
    if not earlier:
        return step
    return replace(step, after=(max(earlier, key=lambda other: ranks[other.id]).id,))
