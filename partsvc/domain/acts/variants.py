"""This vehicle is not as planned: without a position or step, with another part, or less."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.fields import StepId, Where, Why
from partsvc.domain.acts.kinds import HANDS, JUDGES, ActKind, Needs
from partsvc.domain.acts.plan_changes import MAY_RELAX, not_twice, rename, resize
from partsvc.domain.desk import Draft
from partsvc.domain.effects import PositionCorrected
from partsvc.domain.effects_variants import Differing, NotApplying, NotDone
from partsvc.domain.job_plan import corrected
from partsvc.domain.parts import UNNAMED_PREFIX
from partsvc.domain.places import (
    AT_POSITION,
    Gate,
    Place,
    PlaceKind,
    missing,
    on_vehicle,
    secured,
)
from partsvc.domain.plan import Hold, Position, Step
from partsvc.domain.records import Line, Name, Quantity, Says
from partsvc.errors import Invalid, NotFound


@dataclass(frozen=True, slots=True, kw_only=True)
class DoesNotApply:
    """A position, or a whole step, is not on this vehicle."""

    reason: Why
    position: Where | None = None
    step: StepId | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Differs:
    """Another part, or another number of them, than planned is really there."""

    position: Where
    reason: Why
    part: Annotated[Name | None, Says("the part of the stack that is another one")] = None
    becomes: Annotated[Name | None, Says("the part it really is, by its number")] = None
    words: Annotated[Line | None, Says("what it looks like, if its number is not known")] = None
    sets: Annotated[Quantity | None, Says("how many sets are really there")] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LeaveOut:
    """A step was not done, and why."""

    step: StepId
    reason: Why


def does_not_apply(draft: Draft, act: DoesNotApply) -> None:
    """The position or step goes out of this job's plan, with all that was thought to be there."""
    if (act.position is None) == (act.step is None):
        raise Invalid("Say which `position` or which `step` does not apply.", field="position")
    gone: tuple[Position, ...]
    if act.position is not None:
        position = draft.position(act.position)
        step, gone, where = draft.desk.plan.home_step[position.id], (position,), position.where
    else:
        step = draft.step_of(act.step or "")
        gone, where = step.positions, step.title
        _holds_go_too(draft, step)
        _nothing_left_on(draft, step)
    for one in gone:
        _never_was_there(draft, one)
    draft.effect(
        NotApplying(
            step=step.id,
            step_number=step.number,
            where=where,
            reason=act.reason,
            position=act.position or "",
        )
    )


def _holds_go_too(draft: Draft, step: Step) -> None:
    """A stop that protects people is not taken out of the plan by whoever it stops."""
    stops = [hold for hold in step.holds if hold.id not in draft.desk.state.holds]
    waits = [
        hold for one in draft.desk.plan.steps for hold in one.holds if hold.wait_after == step.id
    ]
    asked: list[Hold] = [*stops, *waits]
    if not asked or draft.doing.roles & MAY_RELAX:
        return
    words = (
        f"Step {step.number} carries the hold “{asked[0].title}”. Have quality or the lead say "
        "that it does not apply."
    )
    if any(hold.high_voltage for hold in asked):
        raise draft.refusal("hold-would-go", words, hold=asked[0].id)
    draft.objection("hold-would-go", words, hold=asked[0].id)


def _nothing_left_on(draft: Draft, step: Step) -> None:
    on = draft.book.at(on_vehicle(step.id))
    if on:
        raise draft.refusal(
            "already-off",
            f"At step {step.number} a temporary item is on the vehicle by the book: "
            f"{on[0].quantity} {draft.words_for(on[0].part)}. Take it off first.",
        )


def _never_was_there(draft: Draft, position: Position) -> None:
    """What the opening let in goes out again; pieces that somebody handled were there."""
    handled = _handled(draft, position)
    at_home = (secured(position.id), missing(position.id))
    elsewhere = [
        held
        for held in draft.book.holdings()
        if held.quantity > 0
        and held.spot.lot == position.id
        and held.spot.place.kind is not PlaceKind.OUTSIDE
        and held.spot.place not in at_home
    ]
    if handled or elsewhere:
        raise draft.refusal(
            "already-off",
            f"{position.where}: pieces were handled there, so this vehicle has it. Reverse what "
            "was recorded there first, newest first; or say what differs.",
            reverse_first=handled,
        )
    for place in at_home:
        for held in draft.book.at(place):
            draft.gate_out(held, gate=Gate.PLAN_CORRECTION)


def _handled(draft: Draft, position: Position) -> tuple[str, ...]:
    """The acts that moved pieces at a position or of it, newest first."""
    found: dict[str, None] = {}
    for posted in reversed(draft.desk.posted):
        entry = posted.entry
        ends = (entry.source, entry.target)
        inside = all(spot.place.kind is not PlaceKind.OUTSIDE for spot in ends)
        here = any(_concerns(spot.place, spot.lot, position) for spot in ends)
        if here and inside and entry.target.place.kind is not PlaceKind.MISSING:
            found[posted.act] = None
    return tuple(found)


def _concerns(place: Place, lot: str, position: Position) -> bool:
    return lot == position.id or (place.kind in AT_POSITION and place.at == position.id)


def differs(draft: Draft, act: Differs) -> None:
    """What is really there stands in the plan from now on; parts desk and quality are told."""
    position = draft.position(act.position)
    old = _which(position, act)
    new = _what_it_is(draft, act)
    change = PositionCorrected(
        position=position.id,
        part=old if new else "",
        becomes=new,
        sets=act.sets,
        renames=True if new else None,
    )
    if new:
        not_twice(position, old, new)
        rename(draft, old, new, lot=position.id)
    if act.sets is not None:
        resize(draft, position, corrected(position, change))
    draft.effect(change)
    draft.effect(
        Differing(
            position=position.id,
            part=new or old,
            words=_difference(draft, position, act, old=old, new=new),
            reason=act.reason,
        )
    )


def _which(position: Position, act: Differs) -> str:
    """The planned part that is spoken of."""
    another = act.becomes is not None or act.words is not None
    if not another and act.sets is None:
        raise Invalid(
            "Say what is there instead: `becomes` or `words`, or how many `sets`.", field="becomes"
        )
    if another and act.part is None and len(position.stack) > 1:
        raise Invalid("Several parts belong here: say which `part` is another one.", field="part")
    part = act.part or position.stack[0].part
    item = position.item(part)
    if item is None:
        raise Invalid(f"{part} does not belong at {position.where}.", field="part")
    return item.part


def _what_it_is(draft: Draft, act: Differs) -> str:
    """The number it has in the book from now on: its own, or one of a part not named yet."""
    if act.becomes is not None and act.words is not None:
        raise Invalid("Give its number in `becomes` or say it in `words`, not both.", field="words")
    if act.words is not None:
        return UNNAMED_PREFIX + draft.doing.key
    if act.becomes is not None and act.becomes not in draft.desk.parts:
        raise NotFound(
            f"The catalogue has no part {act.becomes}. Leave `becomes` out and say in `words` what "
            "it looks like; it can be named later.",
            part=act.becomes,
        )
    return act.becomes or ""


def _difference(draft: Draft, position: Position, act: Differs, *, old: str, new: str) -> str:
    """What is there instead of what, in words."""
    planned, really = draft.words_for(old), act.words or draft.words_for(new or old)
    sets = position.sets if act.sets is None else act.sets
    if not new:
        return f"{sets} there, not {position.sets} as planned ({planned})"
    counts = f", {sets} there and not {position.sets}" if sets != position.sets else ""
    return f"{really} instead of {planned}{counts}"


def leave_out(draft: Draft, act: LeaveOut) -> None:
    """A step is left out; the others may go on with a warning, its holds stay as they are."""
    step = draft.step_of(act.step)
    if step.id in draft.desk.state.done:
        raise draft.refusal(
            "already-done",
            f"Step {step.number} is ticked off as done. If it was not, reverse that first.",
        )
    draft.effect(NotDone(step=step.id, reason=act.reason))
    if any(hold.id not in draft.desk.state.holds for hold in step.holds):
        draft.warn("Its holds are not passed by this, and still stand before what comes after.")


KINDS = (
    ActKind(
        kind="does-not-apply",
        group="plan",
        request=DoesNotApply,
        function=does_not_apply,
        needs=frozenset({Needs.HISTORY}),
        roles=HANDS | JUDGES,
        says="A position, or a whole step, is not on this vehicle.",
        example={"position": "HK-L2", "reason": "no tow bar, so no bracket"},
    ),
    ActKind(
        kind="differs",
        group="plan",
        request=Differs,
        function=differs,
        says="Another part, or another number of them, than planned is really there.",
        example={"position": "FS-01", "sets": 5, "reason": "a fifth bolt at the rear edge"},
    ),
    ActKind(
        kind="not-done",
        group="steps",
        request=LeaveOut,
        function=leave_out,
        roles=HANDS | JUDGES,
        says="A step was not done, and why.",
        example={"step": "coolant-fill", "reason": "no coolant of this sort in the house"},
    ),
)
