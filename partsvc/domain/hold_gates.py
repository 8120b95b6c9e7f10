"""Holds in the way of work: those that do not stand, and those that end with it."""

from __future__ import annotations

from partsvc.domain.desk import Draft
from partsvc.domain.effects import HoldPassed
from partsvc.domain.effects_holds import HoldLapsed
from partsvc.domain.plan import Equipment, Hold, Step
from partsvc.domain.standing import WORKED, lapse_words, standing

NUMBER_OF = {
    Equipment.INSTRUMENT: "the instrument's number",
    Equipment.GLOVES: "the number of the gloves",
    Equipment.LIFT: "the number of the lift",
}


def has_to_stand(draft: Draft, step: Step, before: Step, hold: Hold) -> None:
    """Object to work behind a hold that nobody passed, or that stands no longer."""
    now = standing(draft.desk, hold, at=draft.doing.at, by=draft.doing.by)
    if now.stands:
        return
    which = f"{hold.title} (step {before.number})"
    words = f"Step {step.number} asks for this first: {which}."
    if now.passed is not None:
        why = lapse_words(draft.desk, now)
        words = f"Step {step.number} asks for this again: {which}. It stands no longer: {why}."
    draft.objection("hold-open", f"{words} {how_to_pass(hold)}", hold=hold.id, first_step=before.id)


def how_to_pass(hold: Hold) -> str:
    """What a hold asks for, in a sentence."""
    asked = [reading.name for reading in hold.readings]
    asked += [NUMBER_OF[kind] for kind in hold.uses]
    asked += ["a second person"] if hold.witness else []
    asked += [f"somebody qualified ({hold.qualified})"] if hold.qualified else []
    if not asked:
        return "Confirm it when it is so."
    return f"It asks for {', '.join(asked)}."


def end_holds(draft: Draft, step: Step) -> None:
    """The holds that end with work at this step stand no longer, and the person is told so."""
    for name in step.lapses:
        home, hold = draft.desk.plan.holds.get(name, (None, None))
        if hold is None or home is None or _said_already(draft, name):
            continue
        if standing(draft.desk, hold, at=draft.doing.at).stands:
            draft.effect(HoldLapsed(hold=hold.id, reason=WORKED, step=step.id))
            draft.warn(
                f"Stands no longer: {hold.title} (step {home.number}). Pass it again before going "
                "on behind it."
            )


def _said_already(draft: Draft, hold: str) -> bool:
    said = (one for one in draft.effects if isinstance(one, HoldLapsed | HoldPassed))
    return any(one.hold == hold for one in said)
