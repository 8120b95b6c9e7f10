"""What makes the hold points of a procedure unusable: names of nothing, times from nowhere."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal

from partsvc.domain import plan_walk as walk
from partsvc.domain.placed import Placed
from partsvc.domain.plan import Phase, Plan


def _lapses(plan: Plan) -> Iterator[Placed]:
    for mark, step in walk.steps(plan):
        for n, name in enumerate(step.lapses, start=1):
            if name not in plan.holds:
                yield mark.at("lapses", n).says(f"there is no hold with the id {name}")


def _waits(plan: Plan) -> Iterator[Placed]:
    for mark, step, hold in walk.holds(plan):
        if bool(hold.wait_minutes) is not bool(hold.wait_after):
            yield mark.at("wait_after").says(
                "a waiting time needs both: `wait_minutes`, and the step it runs from, `wait_after`"
            )
        elif hold.wait_after and hold.wait_after not in plan.step_of:
            yield mark.at("wait_after").says(f"there is no step with the id {hold.wait_after}")
        elif hold.wait_after == step.id and not step.positions:
            yield mark.at("wait_after").says("waits for its own step, where nothing else is done")


def _close_ups(plan: Plan) -> Iterator[Placed]:
    for mark, step, hold in walk.holds(plan):
        if hold.close_up and hold.when is not Phase.REFIT:
            yield mark.at("close_up").says("is passed before something is covered; write refit")
        if hold.beneath and not hold.close_up:
            yield mark.at("beneath").says("only a close-up looks beneath; set `close_up`")
            continue
        for n, name in enumerate(hold.beneath, start=1):
            at = mark.at("beneath", n)
            if name not in plan.step_of:
                yield at.says(f"there is no step with the id {name}")
            elif name == step.id:
                yield at.says("is its own step; what is covered lies beneath it")


def _readings_within(plan: Plan) -> Iterator[Placed]:
    for _, asked in walk.readings(plan):
        for mark, one in asked:
            if one.limit and one.at_least and Decimal(one.at_least) > Decimal(one.limit):
                yield mark.at("at_least").says("is more than its limit: no reading could be good")


CHECKS: tuple[Callable[[Plan], Iterator[Placed]], ...] = (
    _lapses,
    _waits,
    _close_ups,
    _readings_within,
)
