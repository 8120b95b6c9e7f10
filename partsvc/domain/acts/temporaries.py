"""Plugs, caps, covers and tools that go on the vehicle for a while."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.bags import from_bag
from partsvc.domain.acts.fields import StepId
from partsvc.domain.acts.kinds import HANDS, ActKind
from partsvc.domain.desk import Draft, shown_bag, total
from partsvc.domain.effects_temporaries import PutOnVehicle
from partsvc.domain.ledger import Holding, Spot
from partsvc.domain.places import TOOL_STORE, Condition, Gate, on_vehicle, outside
from partsvc.domain.plan import Step
from partsvc.domain.records import Code, Id, Line, Name, Quantity, Says
from partsvc.domain.temporaries import temporary_part, unlisted_part
from partsvc.errors import Invalid, NotFound

UNTRACKED = "untracked"
FROM_STORE = "tool-store"
TOOL_LOTS = (UNTRACKED, FROM_STORE)


@dataclass(frozen=True, slots=True, kw_only=True)
class PutOn:
    """A plug, cap, stud, cover or tool put on the vehicle for a while."""

    step: StepId
    item: Annotated[Id | None, Says("the temporary item of the plan")] = None
    words: Annotated[Line | None, Says("what it is, if the plan does not list it")] = None
    quantity: Quantity | None = None
    bag: Annotated[Code | None, Says("a piece out of this bag: an old bolt as a locating stud")] = (
        None
    )
    part: Annotated[Name | None, Says("which part out of the bag, if it holds several")] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOff:
    """A temporary item taken off the vehicle again."""

    step: StepId
    item: Annotated[
        Id | None, Says("the temporary item of the plan; all of the step's if nothing is said")
    ] = None
    words: Annotated[Line | None, Says("as said when it was put on")] = None
    quantity: Quantity | None = None
    bag: Annotated[Code | None, Says("the bag that a piece out of a bag goes back into")] = None
    part: Annotated[Name | None, Says("which part, if several came out of bags")] = None


def put_on(draft: Draft, act: PutOn) -> None:
    """Plugs, caps, studs or tools go on; those the store does not track pass the gate."""
    step = draft.step_of(act.step)
    if act.bag is not None:
        _out_of_a_bag(draft, step, act, act.bag)
        return
    _no_part_without_bag(act.part)
    part, planned = _item(step, act.item, act.words)
    if act.item is None:
        _as_said(draft, step, act, part, lot=UNTRACKED)
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


def _out_of_a_bag(draft: Draft, step: Step, act: PutOn, code: str) -> None:
    """A piece of the vehicle, or a new one, serves as a tool; it stays what it is."""
    if act.item is not None:
        raise Invalid("Say the `item` of the plan or the `bag` it came out of, not both.")
    source = draft.use_bag(code)
    if act.part is None:
        from_bag(draft, source)  # An empty bag is told as such, before any part is asked for.
    for held in from_bag(draft, source, part=act.part, quantity=act.quantity or 1):
        draft.carry(held, on_vehicle(step.id))
        _as_said(draft, step, act, held.part, lot=held.spot.lot)


def _as_said(draft: Draft, step: Step, act: PutOn, part: str, *, lot: str) -> None:
    draft.effect(
        PutOnVehicle(
            step=step.id,
            part=part,
            lot=lot,
            words=act.words or "",
            photos=" ".join(draft.doing.photos),
            bag=act.bag or "",
        )
    )


def _no_part_without_bag(part: str | None) -> None:
    if part is not None:
        raise Invalid("Say the `bag` that the piece came out of, or goes into.", field="bag")


def take_off(draft: Draft, act: TakeOff) -> None:
    """Temporary items leave the vehicle, for where they came from."""
    step = draft.step_of(act.step)
    if act == TakeOff(step=act.step):
        _all_of_the_step(draft, step)
        return
    if act.bag is not None or _names_a_piece(draft, step, act):
        _into_a_bag(draft, step, act)
        return
    _no_part_without_bag(act.part)
    part, planned = _item(step, act.item, act.words)
    there = _tools(draft, step, part)
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
    _back_where_they_came_from(draft, draft.draw(_tools(draft, step, part), wanted))


def _back_where_they_came_from(draft: Draft, tools: Iterable[Holding]) -> None:
    for held in tools:
        home = TOOL_STORE if held.spot.lot == FROM_STORE else outside(Gate.UNTRACKED_TEMPORARY)
        account = "workshop" if home is TOOL_STORE else draft.desk.account
        target = Spot(account, home, held.spot.condition, held.spot.lot)
        draft.move(held.part, held.quantity, held.spot, target)


def _all_of_the_step(draft: Draft, step: Step) -> None:
    """All planned items of a step that are on come off in one act, each named in the answer."""
    on = [item for item in step.temporaries if _tools(draft, step, temporary_part(item))]
    if not on:
        raise draft.refusal(
            "nothing-there",
            f"The book has none of the planned items on the vehicle at step {step.number}. What "
            "else is on, name in `words`.",
        )
    for part in dict.fromkeys(map(temporary_part, on)):
        there = _tools(draft, step, part)
        _back_where_they_came_from(draft, there)
    draft.warn(f"Taken off: {', '.join(f'{one.quantity} {one.words}' for one in on)}. All of them?")


def _tools(draft: Draft, step: Step, part: str) -> tuple[Holding, ...]:
    """What is on the vehicle of an item; a piece out of a bag is no tool of that name."""
    on = draft.book.at(on_vehicle(step.id), part)
    return tuple(held for held in on if held.spot.lot in TOOL_LOTS)


def _pieces(draft: Draft, step: Step, act: TakeOff) -> list[Holding]:
    """The pieces out of bags that are on the vehicle at a step, as far as they are meant."""
    meant = _known_as(draft, step, act.words)
    return [
        held
        for held in draft.book.at(on_vehicle(step.id), act.part or "")
        if held.spot.lot not in TOOL_LOTS and (not meant or (held.part, held.spot.lot) in meant)
    ]


def _known_as(draft: Draft, step: Step, words: str | None) -> set[tuple[str, str]]:
    """Part and lot of the pieces that were put on under these words."""
    if words is None:
        return set()
    return {
        (said.part, said.lot)
        for _, said in draft.desk.state.each(PutOnVehicle)
        if said.step == step.id and said.bag and unlisted_part(said.words) == unlisted_part(words)
    }


def _names_a_piece(draft: Draft, step: Step, act: TakeOff) -> bool:
    """Whether the words are those of a piece out of a bag, which needs a bag to go back into."""
    named = act.part is not None or bool(_known_as(draft, step, act.words))
    return named and bool(_pieces(draft, step, act))


def _into_a_bag(draft: Draft, step: Step, act: TakeOff) -> None:
    """A piece that served as a tool is a piece in a bag again, of the place it came from."""
    there = _pieces(draft, step, act)
    if act.bag is None:
        raise Invalid(
            "It came out of a bag. Say the `bag` it goes into now, so that it is not forgotten.",
            field="bag",
        )
    target = draft.use_bag(act.bag)
    if len({held.part for held in there}) > 1:
        raise Invalid("Several parts out of bags are on: say which `part`.", field="part")
    if not there:
        raise draft.refusal(
            "nothing-there",
            f"By the book no piece out of a bag is on the vehicle at step {step.number}. If one "
            "came off and is in the bag, count the bag.",
        )
    if act.quantity is not None and act.quantity > total(there):
        _more_than_on(draft, step, there, act.quantity)
        there = _pieces(draft, step, act)
    for held in draft.draw(there, act.quantity or total(there)):
        draft.carry(held, target)
        _other_bag(draft, step, held, act.bag)


def _more_than_on(draft: Draft, step: Step, there: list[Holding], wanted: int) -> None:
    draft.objection(
        "more-than-are-there",
        f"The book has {total(there)} of these on the vehicle at step {step.number}, not "
        f"{wanted}. Count again; or take off {total(there)}.",
        there=total(there),
    )
    draft.gate_in(
        there[0].part,
        wanted - total(there),
        on_vehicle(step.id),
        gate=Gate.ADDITION,
        condition=there[0].spot.condition,
        lot=there[0].spot.lot,
    )


def _other_bag(draft: Draft, step: Step, held: Holding, code: str) -> None:
    """Say when the piece did not go back into the bag it came out of."""
    came = [
        said.bag
        for _, said in draft.desk.state.each(PutOnVehicle)
        if (said.step, said.part, said.lot) == (step.id, held.part, held.spot.lot) and said.bag
    ]
    if came and code not in came:
        draft.warn(f"It came out of bag {shown_bag(came[-1])}. Is this the bag you mean?")


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
