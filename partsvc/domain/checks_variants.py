"""What is not in order because this vehicle is not as planned: parts, counts, steps left out."""

from __future__ import annotations

from collections.abc import Iterator

from partsvc.domain.checks_position import Explained
from partsvc.domain.desk import Desk
from partsvc.domain.effects_variants import Differing
from partsvc.domain.findings import Finding
from partsvc.domain.places import PlaceKind
from partsvc.domain.plan import Phase, Step
from partsvc.domain.precedence import ancestors
from partsvc.domain.progress import needs_tick
from partsvc.domain.this_vehicle import left_out


def vehicle_differs(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """What was found to be otherwise than planned, until parts desk and quality have taken it."""
    for happened, said in desk.state.each(Differing):
        step = desk.plan.home_step.get(said.position)
        position = desk.plan.positions.get(said.position)
        where = f"Step {step.number}, {position.where}" if step and position else said.position
        yield Finding(
            kind="differs",
            place=said.position,
            words=f"{where}: {said.words}. Reason given: {said.reason}",
            step=step.id if step else "",
            step_number=step.number if step else 0,
            position=said.position,
            part=said.part,
            lot=happened.act,
        )


def counts_not_said(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """Places nobody counted although their step, or one behind it, was taken apart."""
    apart = _taken_apart(desk)
    for step, position in desk.plan.each_position():
        if position.uncounted and step.id in apart:
            yield Finding(
                kind="not-counted",
                place=position.id,
                words=(
                    f"Step {step.number}, {position.where}: nobody said how many came off. Say it "
                    "when they are removed, or that there are none."
                ),
                step=step.id,
                step_number=step.number,
                position=position.id,
            )


def _taken_apart(desk: Desk) -> frozenset[str]:
    """The steps something came off in, and all that had to come off before them."""
    begun = _came_off(desk)
    return begun.union(*(ancestors(name, desk.plan.strip_after) for name in begun))


def steps_left_out(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """Steps with pieces that were recorded as not done; those to be ticked are told with the rest.

    Once something of the step came off, its pieces themselves say what is not back.
    """
    apart = _came_off(desk)
    for name, reason in left_out(desk.state).items():
        step = desk.plan.step_of.get(name)
        if step is not None and not _ticked(step) and name not in apart:
            yield Finding(
                kind="step-not-done",
                place=step.id,
                words=f"Step {step.number}: not done: {step.title}. Reason given: {reason}",
                step=step.id,
                step_number=step.number,
            )


def _ticked(step: Step) -> bool:
    return needs_tick(step, Phase.STRIP) or needs_tick(step, Phase.REFIT)


def _came_off(desk: Desk) -> frozenset[str]:
    """The steps that pieces ever left, for a bag or only loosened."""
    plan = desk.plan
    return frozenset(
        plan.home_step[posted.entry.source.place.at].id
        for posted in desk.posted
        if posted.entry.source.place.kind is PlaceKind.SECURED
        and posted.entry.target.place.kind is not PlaceKind.OUTSIDE
        and posted.entry.source.place.at in plan.home_step
    )
