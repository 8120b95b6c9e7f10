"""Plugs, caps, covers and tools that go on the vehicle for a while."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.fields import StepId
from partsvc.domain.acts.kinds import HANDS, ActKind
from partsvc.domain.desk import Draft, total
from partsvc.domain.ledger import Spot
from partsvc.domain.places import TOOL_STORE, Condition, Gate, on_vehicle, outside
from partsvc.domain.plan import Step
from partsvc.domain.records import Id, Line, Quantity, Says
from partsvc.domain.temporaries import temporary_part, unlisted_part
from partsvc.errors import Invalid, NotFound

UNTRACKED = "untracked"
FROM_STORE = "tool-store"


@dataclass(frozen=True, slots=True, kw_only=True)
class PutOn:
    """A plug, cap, stud, cover or tool put on the vehicle for a while."""

    step: StepId
    item: Annotated[Id | None, Says("the temporary item of the plan")] = None
    words: Annotated[Line | None, Says("what it is, if the plan does not list it")] = None
    quantity: Quantity | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOff:
    """A temporary item taken off the vehicle again."""

    step: StepId
    item: Annotated[Id | None, Says("the temporary item of the plan")] = None
    words: Annotated[Line | None, Says("as said when it was put on")] = None
    quantity: Quantity | None = None


def put_on(draft: Draft, act: PutOn) -> None:
    """Plugs, caps, studs or tools go on; those the store does not track pass the gate."""
    step = draft.step_of(act.step)
    part, planned = _item(step, act.item, act.words)
    quantity = act.quantity or planned
    for held in draft.draw(draft.book.at(TOOL_STORE, part), quantity):
        draft.carry(held, on_vehicle(step.id), lot=FROM_STORE)
        quantity -= held.quantity
    if quantity:
        draft.gate_in(
            part,
            quantity,
            on_vehicle(step.id),
            gate=Gate.UNTRACKED_TEMPORARY,
            condition=Condition.USED,
            lot=UNTRACKED,
        )


def take_off(draft: Draft, act: TakeOff) -> None:
    """Temporary items leave the vehicle, for where they came from."""
    step = draft.step_of(act.step)
    part, planned = _item(step, act.item, act.words)
    there = draft.book.at(on_vehicle(step.id), part)
    # Two items of a step may be the same kind of cap: one of them is not the other one's too.
    wanted = act.quantity or (min(planned, total(there)) if act.item else total(there))
    if not wanted:
        raise draft.refusal(
            "nothing-there",
            f"The book has nothing of this on the vehicle at step {step.number}. If it is off, "
            "all is well.",
        )
    if wanted > total(there):
        draft.objection(
            "more-than-are-there",
            f"The book has {total(there)} of these on the vehicle at step {step.number}, not "
            f"{wanted}. Count again; or take off {total(there)}.",
            there=total(there),
        )
        draft.gate_in(
            part,
            wanted - total(there),
            on_vehicle(step.id),
            gate=Gate.UNTRACKED_TEMPORARY,
            condition=Condition.USED,
            lot=UNTRACKED,
        )
    for held in draft.draw(draft.book.at(on_vehicle(step.id), part), wanted):
        home = TOOL_STORE if held.spot.lot == FROM_STORE else outside(Gate.UNTRACKED_TEMPORARY)
        account = "workshop" if home is TOOL_STORE else draft.desk.account
        target = Spot(account, home, held.spot.condition, held.spot.lot)
        draft.move(held.part, held.quantity, held.spot, target)


def _item(step: Step, item: str | None, words: str | None) -> tuple[str, int]:
    """The part name a temporary item has in the book, and how many are planned."""
    if item is not None:
        return _planned(step, item)
    if words is None or not words.strip():
        raise Invalid("Say which `item` of the plan it is, or what it is in `words`.", field="item")
    return unlisted_part(words), 1


def _planned(step: Step, item: str) -> tuple[str, int]:
    temporary = next((one for one in step.temporaries if one.id == item), None)
    if temporary is None:
        listed = ", ".join(one.id for one in step.temporaries) or "none"
        raise NotFound(
            f"Step {step.number} has no temporary item {item} (it lists: {listed}). Say what it "
            "is in `words` instead.",
            step=step.id,
        )
    return temporary_part(temporary), temporary.quantity


KINDS = (
    ActKind(
        kind="put-on",
        group="strip",
        request=PutOn,
        function=put_on,
        roles=HANDS,
        says="A plug, cap, stud, cover or tool put on the vehicle for a while.",
        example={"step": "hose-return", "item": "t-return-hose"},
    ),
    ActKind(
        kind="take-off",
        group="refit",
        request=TakeOff,
        function=take_off,
        roles=HANDS,
        says="A temporary item taken off the vehicle again.",
        example={"step": "hose-return", "item": "t-return-hose"},
    ),
)
