"""What makes a procedure unusable, each fault named by its step and position.

A plan that decodes has the right shape; whether it can be worked is judged here, before anybody
stands under the vehicle with it. What is legal but odd is `plan_oddities`.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterator
from decimal import Decimal

from partsvc.domain import hold_faults
from partsvc.domain import plan_walk as walk
from partsvc.domain.parts import Rule
from partsvc.domain.placed import Mark, Placed, twice
from partsvc.domain.plan import Phase, Plan
from partsvc.domain.plan_oddities import oddities
from partsvc.domain.plan_rings import rings
from partsvc.domain.precedence import find_cycle
from partsvc.domain.records import Fault

__all__ = ["faults", "oddities", "placed_faults"]

_IS_TAKEN = "the id {name} stands twice; it is taken by {first}"


def faults(plan: Plan, known_parts: Container[str]) -> tuple[Fault, ...]:
    """Every fault that makes the procedure unusable; none means that it can be worked.

    `known_parts` are the part numbers of the catalogue.
    """
    return tuple(placed.fault() for placed in placed_faults(plan, known_parts))


def placed_faults(plan: Plan, known_parts: Container[str]) -> tuple[Placed, ...]:
    """The same, each with its place in the document."""
    own = [placed for check in _CHECKS for placed in check(plan)]
    return (*own, *_unknown_parts(plan, known_parts))


def _something_to_do(plan: Plan) -> Iterator[Placed]:
    if not plan.steps:
        yield walk.WHOLE.at("steps").says("has no steps; write at least one")


def _texts_say_something(plan: Plan) -> Iterator[Placed]:
    for mark, text in walk.texts(plan):
        if text and not text.strip():
            yield mark.says("the text is only blanks; write words or leave it out")


def _step_ids(plan: Plan) -> Iterator[Placed]:
    yield from twice(((step.id, mark.at("id")) for mark, step in walk.steps(plan)), _IS_TAKEN)


def _step_numbers(plan: Plan) -> Iterator[Placed]:
    numbered = ((str(step.number), mark.at("number")) for mark, step in walk.steps(plan))
    yield from twice(numbered, "two steps have the number {name}; give each its own")


def _position_ids(plan: Plan) -> Iterator[Placed]:
    found = ((one.id, mark.at("id")) for mark, _, one in walk.positions(plan))
    yield from twice(found, _IS_TAKEN)


def _hold_ids(plan: Plan) -> Iterator[Placed]:
    yield from twice(((one.id, mark.at("id")) for mark, _, one in walk.holds(plan)), _IS_TAKEN)


def _temporary_ids(plan: Plan) -> Iterator[Placed]:
    found = ((one.id, mark.at("id")) for mark, _, one in walk.temporaries(plan))
    yield from twice(found, _IS_TAKEN)


def _stage_ids(plan: Plan) -> Iterator[Placed]:
    for mark, _, position in walk.positions(plan):
        ids = (
            (stage.id, mark.at("stages", n).at("id"))
            for n, stage in enumerate(position.stages, start=1)
        )
        yield from twice(ids, "the stage id {name} stands twice; give each stage its own")


def _reading_names(plan: Plan) -> Iterator[Placed]:
    for _, asked in walk.readings(plan):
        names = ((one.name.casefold(), mark.at("name")) for mark, one in asked)
        yield from twice(names, "two readings have this name; nobody could tell them apart")


def _stacks(plan: Plan) -> Iterator[Placed]:
    for mark, _, position in walk.positions(plan):
        if not position.stack:
            yield mark.at("stack").says("names no part; say what belongs there")
        parts = (
            (item.part, mark.at("stack", n).at("part"))
            for n, item in enumerate(position.stack, start=1)
        )
        yield from twice(parts, "part {name} stands twice in one set; count it with per_set")


def _accepted_numbers(plan: Plan) -> Iterator[Placed]:
    for mark, position, item in walk.stacked(plan):
        planned = {one.part for one in position.stack}
        marks = [mark.at("accepts", n) for n, _ in enumerate(item.accepts, start=1)]
        for at, one in zip(marks, item.accepts, strict=True):
            if one.number in planned:
                yield at.at("number").says(f"{one.number} is planned in this set already")
            if one.covers != 1 or one.comes_with:
                yield at.says("what it stands for follows from the catalogue; leave it out here")
        numbers = ((one.number, at) for at, one in zip(marks, item.accepts, strict=True))
        yield from twice(numbers, "{name} stands twice; name it once, with its source")


def _limits_of_use(plan: Plan) -> Iterator[Placed]:
    for mark, _, item in walk.stacked(plan):
        if item.rule is Rule.LIMITED and item.max_uses is None:
            yield mark.at("max_uses").says("the rule is limited, but how many uses is not said")


def _torques(plan: Plan) -> Iterator[Placed]:
    for mark, _, stage in walk.stages(plan):
        if stage.torque_nm and Decimal(stage.torque_nm) <= 0:
            yield mark.at("torque_nm").says("a torque is more than 0; compare the maker's document")


def _strip_order(plan: Plan) -> Iterator[Placed]:
    for mark, step in walk.steps(plan):
        if step.phase is Phase.REFIT and step.after:
            yield mark.at("after").says(
                "is worked at the refit alone, so nothing comes off before it; use refit_after"
            )
        for n, name in enumerate(step.after, start=1):
            yield from _never_done(plan, mark.at("after", n), name, Phase.REFIT, "taken apart")


def _refit_order(plan: Plan) -> Iterator[Placed]:
    for mark, step in walk.steps(plan):
        if step.phase is Phase.STRIP and step.refit_after:
            yield mark.at("refit_after").says(
                "is worked when stripping alone, so nothing goes back before it; use after"
            )
        for n, name in enumerate(step.refit_after, start=1):
            yield from _never_done(plan, mark.at("refit_after", n), name, Phase.STRIP, "put back")


def _off_before(plan: Plan) -> Iterator[Placed]:
    for mark, _, item in walk.temporaries(plan):
        if item.off_before:
            at = mark.at("off_before")
            yield from _never_done(plan, at, item.off_before, Phase.STRIP, "put back")


def _never_done(plan: Plan, mark: Mark, name: str, only: Phase, done: str) -> Iterator[Placed]:
    """The step named is not there, or is never worked in this direction."""
    step = plan.step_of.get(name)
    if step is None:
        yield mark.says(f"there is no step with the id {name}")
    elif step.phase is only:
        yield mark.says(f"step {step.number} ({name}) is never {done}, it is {only}-only")


def _holds_asked_for(plan: Plan) -> Iterator[Placed]:
    for mark, step, hold in walk.holds(plan):
        if hold.when is Phase.BOTH and step.phase is Phase.REFIT:
            yield mark.at("when").says("its step is worked at the refit alone; write refit")
        elif hold.when is not Phase.BOTH and step.phase not in (Phase.BOTH, hold.when):
            yield mark.at("when").says(
                f"is asked for at the {hold.when}, but its step is {step.phase}-only"
            )


def _rings(plan: Plan) -> Iterator[Placed]:
    for member, ring in rings(plan):
        numbers = [plan.step_of[name].number for name in ring]
        waits = zip(numbers, [*numbers[1:], numbers[0]], strict=True)
        words = ", ".join(f"step {one} waits for step {other}" for one, other in waits)
        way = "stripping" if member == "after" else "refitting"
        mark = next(mark for mark, step in walk.steps(plan) if step.id == ring[0])
        yield mark.at(member).says(f"when {way}, the steps wait for one another: {words}")


def _carriers(plan: Plan) -> Iterator[Placed]:
    for mark, _, position in walk.positions(plan):
        carrier = plan.positions.get(position.on)
        if position.on and carrier is None:
            yield mark.at("on").says(f"there is no position with the id {position.on}")
        elif carrier is not None and carrier.pieces() > 1:
            yield mark.at("on").says(
                f"{carrier.pieces()} pieces belong at {carrier.id}; a carrier is one single piece"
            )


def _carriers_in_a_ring(plan: Plan) -> Iterator[Placed]:
    lies_on = {
        position.id: [position.on] if position.on in plan.positions else []
        for position in plan.positions.values()
    }
    while ring := find_cycle(lies_on):
        pairs = zip(ring, [*ring[1:], ring[0]], strict=True)
        words = ", ".join(f"{one} lies on {other}" for one, other in pairs)
        mark = next(mark for mark, _, position in walk.positions(plan) if position.id == ring[0])
        yield mark.at("on").says(f"the carriers lie on one another: {words}")
        lies_on[ring[0]] = []


def _unknown_parts(plan: Plan, known_parts: Container[str]) -> Iterator[Placed]:
    for mark, _, item in walk.stacked(plan):
        if item.part not in known_parts:
            yield mark.at("part").says(_unknown(item.part))
        for n, one in enumerate(item.accepts, start=1):
            if one.number not in known_parts:
                yield mark.at("accepts", n).at("number").says(_unknown(one.number))
    for mark, _, temporary in walk.temporaries(plan):
        if temporary.part and temporary.part not in known_parts:
            yield mark.at("part").says(_unknown(temporary.part))


def _unknown(part: str) -> str:
    return f"the catalogue has no part {part}; add it to the catalogue first"


_CHECKS: tuple[Callable[[Plan], Iterator[Placed]], ...] = (
    _something_to_do,
    _texts_say_something,
    _step_ids,
    _step_numbers,
    _position_ids,
    _hold_ids,
    _temporary_ids,
    _stage_ids,
    _reading_names,
    _stacks,
    _accepted_numbers,
    _limits_of_use,
    _torques,
    _strip_order,
    _refit_order,
    _off_before,
    _carriers,
    _carriers_in_a_ring,
    _holds_asked_for,
    *hold_faults.CHECKS,
    _rings,
)
