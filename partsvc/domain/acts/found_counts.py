"""Positions whose count is as found: whoever opens one says how many there were.

The pieces come in by the gate of the opening, for they were on the vehicle when it came; only
their number was not known until then.
"""

from __future__ import annotations

from dataclasses import replace

from partsvc.domain.desk import Draft
from partsvc.domain.effects_variants import CountFound
from partsvc.domain.job_plan import job_plan
from partsvc.domain.places import Condition, Gate, secured
from partsvc.domain.plan import Position


def counted(
    draft: Draft, position: Position, *, sets: int | None, quantity: int | None = None
) -> Position:
    """The position with its count said, its pieces in place; most positions have theirs already.

    Refused while nobody says how many there were: no plan knows it.
    """
    if not position.uncounted:
        return position
    found = sets or _sets_of(position, quantity)
    if found is None:
        raise draft.refusal(
            "say-how-many",
            f"{position.where}: no plan can know how many there are. Count them and say how many "
            "in `sets`; if there are none, record that it does not apply to this vehicle.",
        )
    said = CountFound(position=position.id, sets=found)
    draft.effect(said)
    draft.desk = replace(draft.desk, plan=job_plan(draft.desk.plan, [said]))
    for item in position.stack:
        draft.gate_in(
            item.part,
            found * item.per_set,
            secured(position.id),
            gate=Gate.OPENING,
            condition=Condition.USED,
            lot=position.id,
        )
    return draft.desk.plan.positions[position.id]


def _sets_of(position: Position, quantity: int | None) -> int | None:
    """How many sets so many pieces make, where a set is of one part and they come out even."""
    if quantity is None or len(position.stack) > 1 or quantity % position.stack[0].per_set:
        return None
    return quantity // position.stack[0].per_set
