"""Steps ticked off and hold points passed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal as Number
from typing import Annotated

from partsvc.domain.acts.fields import StepId, Value
from partsvc.domain.acts.hold_checks import closed_beneath, equipment_good, long_enough
from partsvc.domain.acts.kinds import ActKind, Needs
from partsvc.domain.applications import tick_with_step
from partsvc.domain.desk import Draft
from partsvc.domain.effects import HoldPassed, StepDone
from partsvc.domain.exposed import nobody_exposed
from partsvc.domain.gates import may_refit, may_strip
from partsvc.domain.hold_gates import end_holds
from partsvc.domain.plan import Equipment, Hold, Phase, Reading, Step
from partsvc.domain.records import AtMost, Id, Line, Says
from partsvc.domain.standing import good_until
from partsvc.errors import Invalid, NotFound


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """A step without pieces was carried out: fill, bleed, clean, check."""

    step: StepId
    values: Annotated[tuple[Value, ...], AtMost(100), Says("readings taken")] = ()
    applied: Annotated[bool, Says("all that the step asks for was applied, too")] = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PassHold:
    """A hold point is passed, with what it asks for."""

    hold: Annotated[Id, Says("the hold, as named in the plan")]
    values: Annotated[tuple[Value, ...], AtMost(100), Says("the readings it asks for")] = ()
    instrument: Annotated[Line | None, Says("number of the measuring instrument")] = None
    gloves: Annotated[Line | None, Says("number of the insulating gloves")] = None
    lift: Annotated[Line | None, Says("number of the lift or table")] = None
    proved_before: Annotated[bool, Says("instrument proved on a known source before")] = False
    proved_after: Annotated[bool, Says("and after the readings")] = False
    witness: Annotated[Id | None, Says("the second person present")] = None


def done(draft: Draft, act: Done) -> None:
    """A step without pieces of its own was carried out."""
    step = draft.step_of(act.step)
    if step.phase is Phase.REFIT:
        may_refit(draft, step)
    else:
        may_strip(draft, step)
        nobody_exposed(draft, step)
        end_holds(draft, step)
    _all_read(draft, step.readings, act.values, rule="reading-missing")
    draft.effect(StepDone(step=step.id, readings=reading_words(act.values)))
    if act.applied:
        refit = step.phase is Phase.REFIT
        tick_with_step(draft, step, Phase.REFIT if refit else Phase.STRIP)


def pass_hold(draft: Draft, act: PassHold) -> None:
    """A hold point is passed: every reading within its limit, the instrument proved, two people."""
    if act.hold not in draft.desk.plan.holds:
        raise NotFound(f"There is no hold {act.hold} on this job.", hold=act.hold)
    step, hold = draft.desk.plan.holds[act.hold]
    draft.step_of(step.id)
    _all_read(draft, hold.readings, act.values, rule="hold-incomplete", hold=hold.id)
    _qualified(draft, hold)
    _instrument(draft, hold, act)
    _second_person(draft, hold, act)
    _as_it_stands_now(draft, step, hold, act)
    until, why = good_until(draft.desk, hold, draft.doing.at)
    if hold.until_shift_end and not draft.desk.shift_ends:
        draft.warn(
            "It stands until the end of the shift, and nobody has said when shifts end here. Say "
            "so when yours does (`lapse`); the lead sets the times."
        )
    draft.effect(
        HoldPassed(
            hold=hold.id,
            step=step.id,
            readings=reading_words(act.values),
            instrument=act.instrument or "",
            witness=act.witness or "",
            gloves=act.gloves or "",
            lift=act.lift or "",
            good_until=until,
            until=why,
        )
    )
    if hold.when is not Phase.STRIP or step.phase is Phase.STRIP:
        end_holds(draft, step)


def _as_it_stands_now(draft: Draft, step: Step, hold: Hold, act: PassHold) -> None:
    long_enough(draft, hold)
    numbers = {
        Equipment.INSTRUMENT: act.instrument or "",
        Equipment.GLOVES: act.gloves or "",
        Equipment.LIFT: act.lift or "",
    }
    equipment_good(draft, hold, numbers)
    closed_beneath(draft, step, hold)
    nobody_exposed(draft, step)


def _qualified(draft: Draft, hold: Hold) -> None:
    """Object when whoever passes the hold has not the qualification it asks for."""
    has = draft.desk.qualified.get(draft.doing.by, frozenset())
    if hold.qualified and hold.qualified not in has:
        draft.objection(
            "not-qualified",
            f"It is passed only by somebody qualified for it ({hold.qualified}): call them. Who "
            "is qualified stands with the person; the lead keeps it.",
            hold=hold.id,
        )


def _all_read(
    draft: Draft, asked: Sequence[Reading], given: Sequence[Value], *, rule: str, hold: str = ""
) -> None:
    about = {"hold": hold} if hold else {}
    values = {one.name.casefold(): one for one in given}
    if len(values) < len(given):
        raise Invalid("The same reading is given twice. Send the one that holds.", field="values")
    for reading in asked:
        value = values.get(reading.name.casefold())
        if value is None:
            words = f"It asks for the reading “{reading.name}”. Take it and send it."
            draft.objection(rule, words, **about)
            continue
        if reading.unit and value.unit and value.unit != reading.unit:
            raise Invalid(
                f"“{reading.name}” is asked in {reading.unit}, not {value.unit}.", field="values"
            )
        # The sign only tells which way round the probes were held.
        if reading.limit and abs(Number(value.value)) > Number(reading.limit):
            raise draft.refusal(
                "over-limit",
                f"“{reading.name}” reads {value.value} {reading.unit}, the limit is "
                f"{reading.limit} {reading.unit}. Stop: this hold cannot be passed. Follow the "
                "maker's instructions and call the qualified person.",
                reading=reading.name,
            )
        if reading.at_least and Number(value.value) < Number(reading.at_least):
            raise draft.refusal(
                "under-limit",
                f"“{reading.name}” reads {value.value} {reading.unit}, at least "
                f"{reading.at_least} {reading.unit} is wanted. Stop: this hold cannot be passed. "
                "Follow the maker's instructions and call the qualified person.",
                reading=reading.name,
            )


def _instrument(draft: Draft, hold: Hold, act: PassHold) -> None:
    if hold.instrument and not act.instrument:
        draft.objection(
            "hold-incomplete",
            "It asks for the number of the measuring instrument.",
            hold=hold.id,
        )
    if hold.instrument and not (act.proved_before and act.proved_after):
        draft.objection(
            "hold-incomplete",
            "The instrument is to be proved on a known source before and after the readings.",
            hold=hold.id,
        )


def _second_person(draft: Draft, hold: Hold, act: PassHold) -> None:
    if act.witness is not None and act.witness not in draft.desk.people:
        raise NotFound(f"Nobody here is called {act.witness}.", witness=act.witness)
    if hold.witness and act.witness in (None, draft.doing.by, draft.doing.recorded_by):
        draft.objection(
            "hold-incomplete",
            "It asks for a second person: name as `witness` somebody other than yourself.",
            hold=hold.id,
        )


def reading_words(values: Sequence[Value]) -> str:
    """Readings in one line, as taken."""
    return ", ".join(f"{one.name} {one.value} {one.unit or ''}".strip() for one in values)


KINDS = (
    ActKind(
        kind="done",
        group="steps",
        request=Done,
        function=done,
        says="A step without pieces was carried out: fill, bleed, clean, check.",
        example={"step": "coolant-fill"},
    ),
    ActKind(
        kind="hold",
        group="steps",
        request=PassHold,
        function=pass_hold,
        needs=frozenset({Needs.HISTORY, Needs.EQUIPMENT}),
        says="A hold point is passed, with the readings it asks for.",
        example={"hold": "h-lift-points"},
    ),
)
