"""A whole step secured in one act, with tool and setting said once for all of it.

What wants its own look is left out and named: critical positions, readings, another torque than
the one the tool was set to.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

from partsvc.domain.acts.fields import Value
from partsvc.domain.acts.securing import bring_to_stage, may_go_back_on, recorded_enough
from partsvc.domain.acts.whole_step import each_position, put_in
from partsvc.domain.desk import Draft
from partsvc.domain.gates import may_refit
from partsvc.domain.places import Place, loose
from partsvc.domain.plan import Position, Record, Step
from partsvc.domain.progress import not_in_place

_NEWTON_METRES = re.compile(r"([0-9]+(?:[.,][0-9]+)?) ?N ?[·*.]? ?m\b", re.IGNORECASE)


def secure_step(
    draft: Draft,
    step: Step,
    only: frozenset[Place],
    *,
    tool: str,
    setting: str,
    values: Sequence[Value],
    stage: str | None,
) -> None:
    """All that belongs to a step goes back and is secured, each position as if sent alone."""
    may_refit(draft, step)
    wants_values = [one for one in step.positions if one.record is Record.VALUES]
    # Readings name no position: they can only be those of the one that asks for any.
    read = values if len(wants_values) == 1 else ()
    readings = ", ".join(f"{one.name} {one.value} {one.unit or ''}".strip() for one in read)

    def secured_here(position: Position) -> int:
        here = read if position in wants_values else ()
        _put_in_and_look(draft, position, only, tool=tool, setting=setting, values=here)
        lying = draft.book.numbers(loose(position.id))
        tightened = bool(position.stages) or position.record is Record.SETTING
        how = {
            "tool": tool if tightened else "",
            "setting": setting if tightened else "",
            "readings": readings if here else "",
        }
        for part, quantity in sorted(lying.items()):
            may_go_back_on(draft, position, part, quantity)
            bring_to_stage(draft, position, part, quantity, _stage(position, stage), how)
        return sum(lying.values())

    each_position(draft, step, secured_here)


def _put_in_and_look(
    draft: Draft,
    position: Position,
    only: frozenset[Place],
    *,
    tool: str,
    setting: str,
    values: Sequence[Value],
) -> None:
    """What is off goes in; then it must be such that it may be secured with all the others."""
    off = any(not_in_place(position, draft.book).values())
    if off:
        put_in(draft, position, only)
    if draft.book.at(loose(position.id)):
        _own_look(draft, position)
        recorded_enough(draft, position, tool=tool, setting=setting, values=values)
        _same_torque(draft, position, setting)


def _stage(position: Position, stage: str | None) -> str | None:
    """The stage asked for, where the position has stages at all."""
    return stage if position.stages else None


def _own_look(draft: Draft, position: Position) -> None:
    if position.critical:
        draft.objection(
            "own-look",
            f"{position.where} is critical and wants its own look: secure it by itself.",
        )


def _same_torque(draft: Draft, position: Position, setting: str) -> None:
    """Object when the plan's source states another torque for this position than was set."""
    stated = {Decimal(stage.torque_nm) for stage in position.stages if stage.torque_nm}
    said = {Decimal(found.replace(",", ".")) for found in _NEWTON_METRES.findall(setting)}
    if position.record is Record.SETTING and stated and said and not stated & said:
        torques = ", ".join(f"{torque} N·m" for torque in sorted(stated))
        draft.objection(
            "another-setting",
            f"{position.where} is at {torques} by the plan's source, and the tool was set to "
            f"{setting}: secure it by itself, with its own setting.",
        )
