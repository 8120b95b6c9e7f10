"""Positions and steps added while the work goes on: the record is made while stripping."""

from __future__ import annotations

from dataclasses import replace

from partsvc.domain.acts.fields import NewPosition
from partsvc.domain.desk import Draft
from partsvc.domain.effects import PositionAdded, StepAdded
from partsvc.domain.job_plan import job_plan
from partsvc.domain.parts import UNNAMED_PREFIX
from partsvc.domain.places import Condition, Gate, secured
from partsvc.domain.plan import Position
from partsvc.errors import Invalid, NotFound


def add_position(draft: Draft, new: NewPosition) -> Position:
    """The new position stands in the plan at once, its pieces let in by the gate."""
    ident = _free_ident(draft)
    step = _step_for(draft, new, ident)
    part = new.part or UNNAMED_PREFIX + ident
    if new.part and new.part not in draft.desk.parts:
        raise NotFound(
            f"The catalogue has no part {new.part}. Leave `part` out and say what it looks like "
            "in `words`; it can be named later.",
            part=new.part,
        )
    _on_one_piece(draft, new.on)
    _add_effects(draft, new, ident=ident, step=step, part=part)
    position = draft.position(ident)
    draft.gate_in(
        part,
        new.quantity,
        secured(ident),
        gate=Gate.ADDITION,
        condition=Condition.USED,
        lot=ident,
    )
    return position


def _on_one_piece(draft: Draft, carrier: str | None) -> None:
    """What something lies on is one single piece that the plan knows."""
    if carrier is None:
        return
    position = draft.desk.plan.positions.get(carrier)
    if position is None or position.pieces() > 1:
        known = "there is no such position" if position is None else "it holds several pieces"
        raise Invalid(
            f"Nothing can lie on {carrier}: {known}. Name the position of the one cover or "
            "carrier, or leave `on` out.",
            field="add.on",
        )


def _free_ident(draft: Draft) -> str:
    """The act's key names the position, as short as it can be: keys of one moment begin alike."""
    key, plan = draft.doing.key, draft.desk.plan
    shortened = (key[:length] for length in (13, 18, 23, 28, 36))
    return next(
        f"x{short}"
        for short in shortened
        if f"x{short}" not in plan.positions and f"s{short}" not in plan.step_of
    )


def _add_effects(draft: Draft, new: NewPosition, *, ident: str, step: str, part: str) -> None:
    draft.effect(
        PositionAdded(
            position=ident,
            step=step,
            where=new.where,
            part=part,
            quantity=new.quantity,
            rule=new.rule.value,
            words=new.words or "",
            loosen_only=new.loosen_only,
            on=new.on or "",
        )
    )
    draft.desk = replace(draft.desk, plan=job_plan(draft.desk.plan, draft.effects))


def _step_for(draft: Draft, new: NewPosition, ident: str) -> str:
    if new.step is not None:
        return draft.step_of(new.step).id
    if new.step_title is None:
        raise Invalid(
            "Say which `step` the new position belongs to, or give a `step_title` for a new step.",
            field="add.step",
        )
    numbers = [step.number for step in draft.desk.plan.steps]
    number = (max(numbers, default=0) // 10 + 1) * 10
    step = StepAdded(step=f"s{ident[1:]}", number=number, title=new.step_title, zone=new.zone or "")
    draft.effect(step)
    draft.desk = replace(draft.desk, plan=job_plan(draft.desk.plan, [step]))
    return step.step
