"""A whole step secured in one act, with tool and setting said once for all of it.

What wants its own look is hand-started, left loose and named: critical positions, readings,
another torque than the one the tool was set to.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

from partsvc.domain.acts.fields import Value
from partsvc.domain.acts.securing import bring_to_stage, may_go_back_on, recorded_enough
from partsvc.domain.acts.whole_step import (
    LEFT_LOOSE,
    LEFT_OUT,
    each_position,
    put_in,
    told,
)
from partsvc.domain.desk import Draft
from partsvc.domain.gates import may_refit
from partsvc.domain.places import Place, loose
from partsvc.domain.plan import Position, Record, Step

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
    """All that belongs to a step goes back, and is secured as far as one word is true of all."""
    may_refit(draft, step)
    fitted = each_position(draft, step, lambda position: put_in(draft, position, only))
    wants_values = [one for one in step.positions if one.record is Record.VALUES]

    def secured_here(position: Position) -> int:
        lying = draft.book.numbers(loose(position.id))
        if lying:
            # Readings name no position: they can only be those of the one that asks for any.
            read = values if wants_values == [position] else ()
            _same_for_all(draft, position, tool=tool, setting=setting, values=read)
            how = _how(position, tool=tool, setting=setting, values=read)
            for part, quantity in sorted(lying.items()):
                may_go_back_on(draft, position, part, quantity)
                bring_to_stage(draft, position, part, quantity, _stage(position, stage), how)
        return sum(lying.values())

    secured = each_position(draft, step, secured_here)
    told(draft, step, {LEFT_OUT: fitted, LEFT_LOOSE: secured})


def _how(position: Position, *, tool: str, setting: str, values: Sequence[Value]) -> dict[str, str]:
    """What is written down at a position: the tool only where something was tightened with it."""
    tightened = bool(position.stages) or position.record is Record.SETTING
    return {
        "tool": tool if tightened else "",
        "setting": setting if tightened else "",
        "readings": ", ".join(f"{one.name} {one.value} {one.unit or ''}".strip() for one in values),
    }


def _same_for_all(
    draft: Draft, position: Position, *, tool: str, setting: str, values: Sequence[Value]
) -> None:
    """Object to what is loose here when it may not be secured with all the others."""
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
