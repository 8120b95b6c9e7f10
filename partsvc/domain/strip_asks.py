"""What a step still asks of whoever takes it apart, beyond what the strip list shows of it.

The list tells how far a step is in pieces; the bench has to know what is left to tap: the plug and
its lock, caps to put on, what is to be applied, and whether all of it is done.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from partsvc.domain.applications import of_phase
from partsvc.domain.custody import locks_on
from partsvc.domain.desk import Desk
from partsvc.domain.effects_applications import Applied
from partsvc.domain.places import on_vehicle
from partsvc.domain.plan import Application, Phase, Step
from partsvc.domain.progress import still_on
from partsvc.domain.strip_list import StepState, step_state
from partsvc.domain.temporaries import temporary_part
from partsvc.domain.this_vehicle import left_out


@dataclass(frozen=True, slots=True, kw_only=True)
class StepAsks:
    """What is left to do at a step while taking apart.

    `into_bag` pieces come off into a bag, `to_loosen` only come loose; `uncounted` positions want
    their number said. `plug` marks the step that brings voltage: its pieces go into the lock box
    of whoever pulls them, and `lock` asks for their lock. `state` is how the step looks as a
    whole, and `left` whether anything at all is left to do.
    """

    into_bag: int = 0
    to_loosen: int = 0
    uncounted: int = 0
    plug: bool = False
    lock: bool = False
    caps: int = 0
    applications: tuple[Application, ...] = ()
    state: str = ""
    left: bool = False


def strip_asks(desk: Desk) -> Mapping[str, StepAsks]:
    """What each step of the strip still asks for, by its id."""
    return {step.id: _asks(desk, step) for step in desk.plan.steps if step.phase is not Phase.REFIT}


def _asks(desk: Desk, step: Step) -> StepAsks:
    on = {position.id: pieces for position, pieces in still_on(step, desk.book)}
    loosen = sum(on.get(one.id, 0) for one in step.positions if one.loosen_only)
    # What is caught or cleaned while it comes off is ticked before the last piece as well as after.
    ticked = {said.what for _, said in desk.state.each(Applied) if said.step == step.id}
    wanted = tuple(one for one in of_phase(step, Phase.STRIP) if one.what not in ticked)
    caps = sum(
        max(0, one.quantity - desk.book.count(on_vehicle(step.id), temporary_part(one)))
        for one in step.temporaries
    )
    plug = step.energises and bool(step.positions)
    lock = plug and not any(one.step == step.id for one in locks_on(desk.state))
    done = step_state(desk, step) is StepState.OFF
    beside = bool(caps or wanted or lock)
    return StepAsks(
        into_bag=sum(on.values()) - loosen,
        to_loosen=loosen,
        uncounted=sum(one.uncounted for one in step.positions),
        plug=plug,
        lock=lock,
        caps=caps,
        applications=wanted,
        state=_shown(desk, step, done=done, beside=beside),
        left=step.id not in left_out(desk.state) and (not done or beside),
    )


def _shown(desk: Desk, step: Step, *, done: bool, beside: bool) -> str:
    """How the step looks as a whole, what stands beside its pieces counted in."""
    if step.id in left_out(desk.state):
        return "left-out"
    if not step.positions:
        return "finished" if done and not beside else "to-do"
    return "started" if done and beside else step_state(desk, step).value
