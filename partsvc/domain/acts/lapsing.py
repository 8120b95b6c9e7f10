"""Holds that somebody says stand no longer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.kinds import ActKind
from partsvc.domain.desk import Draft
from partsvc.domain.effects_holds import HoldLapsed
from partsvc.domain.records import Id, Says, Words
from partsvc.domain.standing import Reason, lapse_words, standing
from partsvc.errors import Invalid, NotFound


@dataclass(frozen=True, slots=True, kw_only=True)
class Lapse:
    """A hold stands no longer: what it confirmed is so no more, or nobody knows."""

    hold: Annotated[Id, Says("the hold, as named in the plan")]
    reason: Reason
    words: Annotated[Words | None, Says("what happened; needed when the reason is other")] = None


def lapse(draft: Draft, act: Lapse) -> None:
    """The hold stands in the way again of whatever comes behind it."""
    step, hold = draft.desk.plan.holds.get(act.hold, (None, None))
    if step is None or hold is None:
        raise NotFound(f"There is no hold {act.hold} on this job.", hold=act.hold)
    draft.step_of(step.id)
    if act.reason is Reason.OTHER and not act.words:
        raise Invalid("Say in `words` what happened.", field="words")
    now = standing(draft.desk, hold, at=draft.doing.at)
    if not now.stands:
        why = f": {lapse_words(draft.desk, now)}" if now.passed else ", it was not passed yet"
        raise draft.refusal(
            "hold-open", f"{hold.title} stands in the way as it is{why}.", hold=hold.id
        )
    draft.effect(HoldLapsed(hold=hold.id, reason=act.reason.value, words=act.words or ""))


KINDS = (
    ActKind(
        kind="lapse",
        group="steps",
        request=Lapse,
        function=lapse,
        says="A hold that was passed stands no longer: end of shift, lifted again, plug back in.",
        example={"hold": "h-dead", "reason": "diagnosis-with-voltage"},
    ),
)
