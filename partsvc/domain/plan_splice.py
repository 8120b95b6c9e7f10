"""A plan without some of its steps: whoever waited for one waits for what it waited for.

A step that this vehicle does not have must not take the order with it that ran through it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from partsvc.domain.plan import Hold, Phase, Step, Temporary

Steps = dict[str, Step]


def without(steps: Steps, gone: Iterable[str]) -> Steps:
    """The steps without these, the order through them kept in both directions."""
    left = dict(steps)
    for name in gone:
        step = left.pop(name, None)
        if step is not None:
            left = {one.id: _bridged(one, step, left) for one in left.values()}
    return left


def _bridged(step: Step, gone: Step, left: Steps) -> Step:
    """One of the remaining steps, waiting in the place of the one that is gone."""
    behind = _back_before(gone, left)
    waits_at_refit = gone.id in step.refit_after or _turned_round(step, gone)
    refit_after = tuple(name for name in step.refit_after if name != gone.id)
    if gone.id in step.refit_after:
        refit_after = (*refit_after, *behind)
    elif waits_at_refit:
        # What came off behind the gone step is bridged by `after`; only its own wishes are not.
        refit_after = (*refit_after, *gone.refit_after)
    return replace(
        step,
        after=_instead(step.after, gone.id, gone.after),
        refit_after=_once(refit_after, but=step.id),
        temporaries=tuple(_due(one, gone.id) for one in step.temporaries),
        holds=tuple(_still_about(one, gone) for one in step.holds),
        lapses=tuple(name for name in step.lapses if all(name != one.id for one in gone.holds)),
    )


def _back_before(gone: Step, left: Steps) -> tuple[str, ...]:
    """What had to be back before the step that is gone."""
    inner = (one.id for one in left.values() if gone.id in one.after and _both(one, gone))
    return (*gone.refit_after, *inner)


def _turned_round(step: Step, gone: Step) -> bool:
    """Whether the step had to wait at the refit because the gone one came off behind it."""
    return step.id in gone.after and _both(step, gone)


def _both(*steps: Step) -> bool:
    return all(step.phase is Phase.BOTH for step in steps)


def _instead(names: tuple[str, ...], gone: str, others: tuple[str, ...]) -> tuple[str, ...]:
    found: list[str] = []
    for name in names:
        found += others if name == gone else (name,)
    return tuple(dict.fromkeys(found))


def _once(names: tuple[str, ...], *, but: str) -> tuple[str, ...]:
    return tuple(name for name in dict.fromkeys(names) if name != but)


def _still_about(hold: Hold, gone: Step) -> Hold:
    """A hold that no longer looks beneath the step that is gone, nor waits since it was done."""
    beneath = tuple(name for name in hold.beneath if name != gone.id)
    if hold.wait_after == gone.id:
        hold = replace(hold, wait_after="", wait_minutes=None)
    return replace(hold, beneath=beneath)


def _due(temporary: Temporary, gone: str) -> Temporary:
    """An item that was due off before the step that is gone is due off by the end."""
    return replace(temporary, off_before="") if temporary.off_before == gone else temporary
