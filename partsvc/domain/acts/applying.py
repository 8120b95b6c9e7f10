"""Sealant, threadlock, coolant applied: ticked at the step that asks for it, never booked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.fields import StepId
from partsvc.domain.acts.kinds import HANDS, ActKind, Needs
from partsvc.domain.applications import of_phase
from partsvc.domain.desk import Draft
from partsvc.domain.effects_applications import Applied
from partsvc.domain.gates import may_refit, may_strip
from partsvc.domain.plan import Application, Phase, Step
from partsvc.domain.records import Decimal, Line, Name, Says
from partsvc.errors import Invalid, NotFound


@dataclass(frozen=True, slots=True, kw_only=True)
class Apply:
    """Sealant, threadlock, coolant or the like was applied."""

    step: StepId
    what: Annotated[Line | None, Says("as the plan calls it; all of the step if left out")] = None
    amount: Annotated[Decimal | None, Says("how much, if other than planned")] = None
    batch: Annotated[Name | None, Says("the maker's batch, as on the pack")] = None


def apply(draft: Draft, act: Apply) -> None:
    """Applications of a step are ticked, with amount and batch where they are given."""
    step = draft.step_of(act.step)
    wanted = _wanted(step, act.what)
    if act.amount is not None and len(wanted) > 1:
        raise Invalid(
            f"Step {step.number} asks for several things: say `what` so much is of.", field="what"
        )
    if any(one.when is not Phase.STRIP for one in wanted):
        may_refit(draft, step)
    else:
        may_strip(draft, step)
    for one in wanted:
        draft.effect(
            Applied(
                step=step.id,
                what=one.what,
                amount=act.amount or one.amount,
                unit=one.unit,
                batch=act.batch or "",
            )
        )


def _wanted(step: Step, what: str | None) -> tuple[Application, ...]:
    if what is None:
        wanted = of_phase(step, Phase.REFIT) or step.applications
    else:
        asked = what.strip().casefold()
        wanted = tuple(one for one in step.applications if one.what.casefold() == asked)
    if not wanted:
        listed = ", ".join(one.what for one in step.applications) or "nothing"
        raise NotFound(
            f"Step {step.number} asks for {listed}. What else was used is told by a remark.",
            step=step.id,
        )
    return wanted


KINDS = (
    ActKind(
        kind="apply",
        group="refit",
        request=Apply,
        function=apply,
        needs=frozenset({Needs.CAME_OFF}),
        roles=HANDS,
        says="Sealant, threadlock, coolant applied: all that a step asks for, or one of it.",
        example={"step": "coolant-fill"},
    ),
)
