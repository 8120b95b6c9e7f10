"""Taking apart: what comes off, what was missing, what was found."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import Annotated

from partsvc.domain.acts.breaking import Rest, RestWhere, rest_left
from partsvc.domain.acts.custody import into_custody
from partsvc.domain.acts.fields import (
    BagCode,
    NewPosition,
    Sets,
    SomePart,
    SomePieces,
    StepId,
    Where,
)
from partsvc.domain.acts.found_counts import counted
from partsvc.domain.acts.kinds import HANDS, JOB, WORKSHOP, ActKind, Needs
from partsvc.domain.acts.known import in_catalogue
from partsvc.domain.acts.planning import add_position
from partsvc.domain.acts.whole_step import free_pockets, only_these, take_off_step
from partsvc.domain.desk import Draft, total, worn
from partsvc.domain.effects_between import StrayFound
from partsvc.domain.gates import may_strip
from partsvc.domain.ledger import Holding, Spot
from partsvc.domain.parts import STRAY_PREFIX, Rule
from partsvc.domain.places import (
    Condition,
    Gate,
    Place,
    loose,
    missing,
    own_hole,
    secured,
    with_person,
)
from partsvc.domain.plan import Position, StackItem
from partsvc.domain.records import Between, Id, Line, Name, Quantity, Says
from partsvc.errors import Invalid


@dataclass(frozen=True, slots=True, kw_only=True)
class Loosen:
    """Loosened or unplugged, and staying where it is."""

    position: Where
    sets: Sets | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Remove:
    """Taken off, into a bag; or put back finger-tight in its own hole."""

    position: Annotated[Id | None, Says("the position; or say `add` for an unplanned one")] = None
    step: Annotated[StepId | None, Says("the whole step as planned, all that is still on")] = None
    bag: BagCode | None = None
    own_hole: Annotated[bool, Says("put back finger-tight in its own hole, no bag")] = False
    with_person: Annotated[
        Id | None, Says("into this person's lock box, no bag: a service plug")
    ] = None
    sets: Sets | None = None
    part: SomePart | None = None
    quantity: SomePieces | None = None
    broken: Annotated[int, Between(0, 9999), Says("how many of these broke")] = 0
    rest: RestWhere = Rest.ALL_HERE
    add: NewPosition | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Missing:
    """It belongs there but was not there when the step was opened."""

    position: Where
    sets: Sets | None = None
    part: SomePart | None = None
    quantity: SomePieces | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stray:
    """A piece found that nobody can place yet."""

    bag: BagCode
    words: Annotated[Line, Says("what it looks like and where it lay")]
    quantity: Quantity = 1
    looks_like: Annotated[Name | None, Says("a part of the catalogue that looks like it")] = None
    thread: Annotated[Name | None, Says("as tried with a nut or gauge, such as M8")] = None
    length_mm: Annotated[int | None, Between(1, 5000), Says("under the head, millimetres")] = None


def loosen(draft: Draft, act: Loosen) -> None:
    """Secured pieces become loose where they are: captive screws, plugs pulled."""
    position = draft.position(act.position)
    may_strip(draft, draft.desk.plan.home_step[position.id])
    position = counted(draft, position, sets=act.sets)
    wanted = _wanted(position, sets=act.sets)
    for held in _all_taken(draft, position, wanted, (secured(position.id),)):
        draft.carry(
            held,
            loose(position.id),
            condition=worn(held.spot.condition, held.spot.place.kind),
        )


def remove(draft: Draft, act: Remove) -> None:
    """Pieces leave their position for a bag, or for their own hole; or those of a whole step."""
    if act.step is not None:
        _whole_step(draft, act, act.step)
        return
    position = _added(draft, act) if act.add else _named(draft, act.position)
    may_strip(draft, draft.desk.plan.home_step[position.id])
    position = counted(draft, position, sets=act.sets, quantity=act.quantity)
    target = _target(draft, act, position)
    places = (loose(position.id), secured(position.id), own_hole(position.id))
    elsewhere = tuple(place for place in places if place != target)
    wanted = _coming_off(draft, position, act, places)
    taken = _all_taken(draft, position, wanted, elsewhere)
    broken = _lay_down(draft, taken, target, act.broken)
    if broken:
        raise Invalid(
            f"{act.broken} are said to be broken, but fewer came off. Say how many broke of those "
            "taken off.",
            field="broken",
        )
    if act.rest is not Rest.ALL_HERE and not act.broken:
        raise Invalid("Say how many broke, whose rest is not here.", field="broken")
    rest_left(draft, draft.draw(taken, act.broken), act.rest, position=position.id)
    draft.about |= {"position": position.id}


def _whole_step(draft: Draft, act: Remove, step_id: str) -> None:
    """All that is still on at a step, into one bag, into the pockets of a board, or home."""
    only_these(act, "step", "bag", "own_hole", "with_person")
    _one_target(act)
    step = draft.step_of(step_id)
    if act.with_person is not None:
        box = with_person(into_custody(draft, act.with_person, step.positions))
        take_off_step(draft, step, lambda _: box)
        return
    if act.bag is None:
        take_off_step(draft, step, lambda position: own_hole(position.id))
        return
    target = draft.use_bag(act.bag)
    take_off_step(draft, step, free_pockets(draft, act.bag) or (lambda _: target))


def _added(draft: Draft, act: Remove) -> Position:
    if act.position is not None or act.add is None:
        raise Invalid("Name a `position` of the plan or `add` a new one, not both.", field="add")
    return add_position(draft, act.add)


def _coming_off(
    draft: Draft, position: Position, act: Remove, places: tuple[Place, ...]
) -> list[Wanted]:
    """What is to come off: parts of the stack, or a wrong part that was put in their place."""
    wrong = act.part if act.part and position.item(act.part) is None else ""
    if wrong and any(draft.book.at(place, wrong) for place in places):
        return [Wanted(StackItem(part=wrong), (wrong,), act.quantity or act.sets)]
    return _wanted(position, sets=act.sets, part=act.part, quantity=act.quantity)


def _named(draft: Draft, position: str | None) -> Position:
    if position is None:
        raise Invalid(
            "Say which position it came off, or `add` to record one nobody had planned.",
            field="position",
        )
    return draft.position(position)


def _one_target(act: Remove) -> None:
    if [act.own_hole, act.bag is not None, act.with_person is not None].count(True) != 1:
        raise Invalid(
            "Say where the pieces are: the `bag` they went into, `own_hole`, or `with_person`.",
            field="bag",
        )


def _target(draft: Draft, act: Remove, position: Position) -> Place:
    _one_target(act)
    if act.broken and len(position.stack) > 1 and not act.part:
        raise Invalid("Say which `part` of the set broke.", field="part")
    if act.with_person is not None:
        return with_person(into_custody(draft, act.with_person, (position,)))
    return draft.use_bag(act.bag) if act.bag else own_hole(position.id)


def _lay_down(draft: Draft, taken: list[Holding], target: Place, broken: int) -> int:
    """Put what was taken where it goes, the broken ones marked; returns the broken not yet met."""
    for held in taken:
        hurt = min(broken, held.quantity)
        condition = worn(held.spot.condition, held.spot.place.kind)
        if hurt:
            hurt_ones = Holding(held.part, held.spot, hurt)
            draft.carry(hurt_ones, target, condition=Condition.DAMAGED)
        if held.quantity - hurt:
            whole_ones = Holding(held.part, held.spot, held.quantity - hurt)
            draft.carry(whole_ones, target, condition=condition)
        broken -= hurt
    return broken


def mark_missing(draft: Draft, act: Missing) -> None:
    """Pieces that belong there were not there on arrival."""
    position = draft.position(act.position)
    position = counted(draft, position, sets=act.sets, quantity=act.quantity)
    wanted = _wanted(position, sets=act.sets, part=act.part, quantity=act.quantity)
    for held in _all_taken(draft, position, wanted, (secured(position.id),)):
        condition = worn(held.spot.condition, held.spot.place.kind)
        draft.carry(held, missing(position.id), condition=condition)


def found_stray(draft: Draft, act: Stray) -> None:
    """A piece nobody can place yet stands in the book under a name of its own."""
    place = draft.use_bag(act.bag)
    if act.looks_like is not None:
        in_catalogue(draft, act.looks_like)
    key = draft.doing.key
    draft.effect(
        StrayFound(
            part=STRAY_PREFIX + key,
            words=act.words,
            looks_like=act.looks_like or "",
            thread=act.thread or "",
            length_mm=act.length_mm,
        )
    )
    draft.gate_in(
        STRAY_PREFIX + key,
        act.quantity,
        place,
        gate=Gate.STRAY,
        condition=Condition.USED,
        lot=STRAY_PREFIX + key,
    )


@dataclass(frozen=True, slots=True)
class Wanted:
    """So much of one line of a stack, as pieces of these numbers; `pieces` None means all."""

    item: StackItem
    numbers: tuple[str, ...]
    pieces: int | None


def _wanted(
    position: Position,
    *,
    sets: int | None = None,
    part: str | None = None,
    quantity: int | None = None,
) -> list[Wanted]:
    """What is asked of each line of the stack."""
    named = position.item(part) if part else None
    if part is not None and named is None:
        parts = ", ".join(item.part for item in position.stack)
        raise Invalid(f"{part} does not belong at {position.where}; {parts} does.", field="part")
    if quantity is not None and sets is not None:
        raise Invalid("Say how many in `sets` or in `quantity`, not in both.", field="quantity")
    items = [named] if named else sorted(position.stack, key=lambda item: item.rides)
    if quantity is not None and len(items) > 1:
        raise Invalid(
            "A set has several parts here: say `part`, or count in `sets`.", field="quantity"
        )
    return [
        Wanted(item, item.meant_by(part or item.part), quantity or (sets and sets * item.per_set))
        for item in items
    ]


def _all_taken(
    draft: Draft, position: Position, wanted: list[Wanted], places: tuple[Place, ...]
) -> list[Holding]:
    """What is taken of all lines; what came along with one line's pieces is not asked of another.

    Nothing at all there is refused.
    """
    taken: list[Holding] = []
    for one in wanted:
        taken += _taken(draft, position, one, places, taken)
    _something(draft, position, taken)
    return taken


def _still_there(
    draft: Draft, asked: Wanted, places: tuple[Place, ...], before: list[Holding]
) -> list[Holding]:
    """The pieces meant that lie at these places and were not taken for another line before."""
    gone = Counter[tuple[str, Spot]]()
    for held in before:
        gone[held.part, held.spot] += held.quantity
    found = (held for place in places for held in draft.book.among(place, asked.numbers))
    left = (replace(held, quantity=held.quantity - gone[held.part, held.spot]) for held in found)
    return [held for held in left if held.quantity]


def _taken(
    draft: Draft,
    position: Position,
    asked: Wanted,
    places: tuple[Place, ...],
    before: list[Holding],
) -> list[Holding]:
    """The pieces taken from these places; more than are there is refused, or let in by the gate."""
    item = asked.item
    there = _still_there(draft, asked, places, before)
    if asked.pieces is None:
        return there
    pieces = Counter[str]()
    for held in before:
        pieces[held.part] += held.quantity
    wanted = max(0, asked.pieces - item.along_with(pieces))
    short = wanted - total(there)
    if short > 0:
        draft.objection(
            "more-than-are-there",
            f"{position.where}: the book has {total(there)} {draft.words_for(item.part)} there, "
            f"not {wanted}. Count again; or take {total(there)}.",
            there=total(there),
        )
        draft.gate_in(
            asked.numbers[0],
            short,
            places[0],
            gate=Gate.ADDITION,
            condition=Condition.USED,
            lot=position.id,
        )
        there = _still_there(draft, asked, places, before)
    return draft.draw(there, wanted, prefer=lambda held: _old_first(held, position, item))


def _old_first(held: Holding, position: Position, item: StackItem) -> tuple[int, ...]:
    """Whoever takes one single-use piece out again takes the one that should not be there."""
    return (int(item.rule is Rule.REPLACE and held.spot.lot != position.id),)


def taken_off(
    draft: Draft, position: Position, *, part: str | None = None, quantity: int | None = None
) -> list[Holding]:
    """The pieces that leave their position, whatever becomes of them next; all that are there."""
    places = (loose(position.id), secured(position.id), own_hole(position.id))
    wanted = _wanted(position, part=part, quantity=quantity)
    return _all_taken(draft, position, wanted, places)


def _something(draft: Draft, position: Position, there: list[Holding]) -> None:
    if not there:
        raise draft.refusal(
            "nothing-there",
            f"Nothing is left at {position.where} by the book. If pieces came off, say how many.",
        )


KINDS = (
    ActKind(
        kind="loosen",
        group="strip",
        request=Loosen,
        function=loosen,
        needs=frozenset({Needs.CAME_OFF}),
        roles=HANDS,
        says="Loosened, unplugged or set aside, and staying where it is.",
        example={"position": "RS-02"},
    ),
    ActKind(
        kind="remove",
        group="strip",
        request=Remove,
        function=remove,
        needs=frozenset({Needs.BOARDS, Needs.CAME_OFF}),
        roles=HANDS,
        says="Taken off, into a bag: all that is there, or so many.",
        example={"position": "FS-01", "bag": "7K3M-9HWZ", "broken": 1},
    ),
    ActKind(
        kind="missing",
        group="strip",
        request=Missing,
        function=mark_missing,
        roles=HANDS,
        says="It belongs there but was not there when the step was opened.",
        example={"position": "SC-R3", "quantity": 1},
    ),
    ActKind(
        kind="stray",
        group="strip",
        request=Stray,
        function=found_stray,
        accounts=frozenset({JOB, WORKSHOP}),
        says="A piece found that nobody can place yet.",
        example={"bag": "7K3M-9HWZ", "words": "black screw, lay on the front tray"},
    ),
)
