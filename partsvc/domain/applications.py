"""Sealant, threadlock and fluids: what a step asks for, what was applied, what was left out.

They are ticked, never booked. A tick holds until the step is taken apart again: threadlock that was
on the bolt when it came out does not count for the next time it goes in.
"""

from __future__ import annotations

from collections.abc import Iterator

from partsvc.domain.desk import Desk, Draft
from partsvc.domain.effects_applications import Applied
from partsvc.domain.places import PlaceKind
from partsvc.domain.plan import Application, Phase, Step
from partsvc.domain.progress import needs_tick, not_back, not_secured


def of_phase(step: Step, phase: Phase) -> tuple[Application, ...]:
    """What a step asks to be applied while taking apart, or while putting back."""
    if phase is Phase.STRIP:
        return tuple(one for one in step.applications if one.when is Phase.STRIP)
    return tuple(one for one in step.applications if one.when is not Phase.STRIP)


def tick_with_step(draft: Draft, step: Step, phase: Phase) -> None:
    """All applications of a step ticked in the tap that finishes it."""
    wanted = of_phase(step, phase)
    if not wanted:
        draft.warn(f"Step {step.number} has nothing to apply; there was nothing to tick.")
    for one in wanted:
        draft.effect(Applied(step=step.id, what=one.what, amount=one.amount, unit=one.unit))


def applied_at(desk: Desk, step: Step) -> dict[str, Applied]:
    """What was applied at a step since it was last taken apart, by its words."""
    since = _last_apart(desk, step)
    return {
        done.what: done
        for happened, done in desk.state.each(Applied)
        if done.step == step.id and happened.seq > since
    }


def _last_apart(desk: Desk, step: Step) -> int:
    here = {position.id for position in step.positions}
    return max(
        (
            posted.seq
            for posted in desk.posted
            if posted.entry.source.place.kind is PlaceKind.SECURED
            and posted.entry.source.place.at in here
        ),
        default=0,
    )


def left_out(desk: Desk) -> Iterator[tuple[Step, int, Application]]:
    """Applications of the refit that are not ticked at steps that are back, with their number."""
    for step in desk.plan.steps:
        wanted = of_phase(step, Phase.REFIT)
        if wanted and is_back(desk, step):
            ticked = applied_at(desk, step)
            yield from (
                (step, number, one)
                for number, one in enumerate(step.applications, start=1)
                if one in wanted and one.what not in ticked
            )


def is_back(desk: Desk, step: Step) -> bool:
    """Whether a step was taken apart and is together again, all of it secured; or was carried out.

    While a piece is off or loose, or the step itself is not ticked, that speaks for itself.
    """
    if needs_tick(step, Phase.REFIT) or needs_tick(step, Phase.STRIP):
        return step.id in desk.state.done
    if step.positions:
        return bool(_last_apart(desk, step)) and _together(desk, step)
    holds = [hold for hold in step.holds if hold.when is Phase.REFIT]
    if holds:
        return all(hold.id in desk.state.holds for hold in holds)
    # Nothing at the step itself shows that it is back: it is when everything else is.
    apart = [one for one in desk.plan.steps if _last_apart(desk, one)]
    return bool(apart) and all(_together(desk, one) for one in desk.plan.steps)


def _together(desk: Desk, step: Step) -> bool:
    off = any(True for _ in not_back(step, desk.book))
    return not off and not any(True for _ in not_secured(step, desk.book))
