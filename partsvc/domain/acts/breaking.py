"""Broken pieces: what broke while it was fitted or lay in a bag, and where the rest of it is."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from partsvc.domain.acts.bags import from_bag
from partsvc.domain.acts.fields import BagCode, Lot, PartNumber, Where
from partsvc.domain.acts.kinds import HANDS, ActKind, Role
from partsvc.domain.desk import Draft, total
from partsvc.domain.effects_broken import RestLeft
from partsvc.domain.ledger import Holding
from partsvc.domain.places import Condition, Gate, loose, own_hole, secured
from partsvc.domain.plan import Position
from partsvc.domain.records import Quantity, Says, Words
from partsvc.errors import Invalid


class Rest(StrEnum):
    """Where the rest of a broken piece is."""

    ALL_HERE = "all-here"
    IN_VEHICLE = "in-vehicle"
    LOST = "lost"


RestWhere = Annotated[Rest, Says("of the broken ones: all of it here, still in the vehicle, lost")]


@dataclass(frozen=True, slots=True, kw_only=True)
class Broke:
    """A piece broke where it is: while being fitted or secured, or in a bag."""

    position: Where | None = None
    bag: BagCode | None = None
    part: PartNumber | None = None
    lot: Lot | None = None
    quantity: Quantity = 1
    rest: RestWhere = Rest.ALL_HERE
    words: Annotated[Words | None, Says("what happened")] = None


def broke(draft: Draft, act: Broke) -> None:
    """Pieces are damaged from now on; the book keeps them where they are until they come out."""
    if (act.bag is None) == (act.position is None):
        raise Invalid("Say where it broke: at a `position` or in a `bag`.", field="position")
    drawn = _in_bag(draft, act) if act.bag else _at_position(draft, act)
    for held in drawn:
        draft.carry(held, held.spot.place, condition=Condition.DAMAGED)
    rest_left(draft, drawn, act.rest, position=act.position or "", bag=act.bag or "")


def rest_left(
    draft: Draft, broken: list[Holding], rest: Rest, *, position: str = "", bag: str = ""
) -> None:
    """Note what is left of broken pieces where they broke; nothing when all of it is here."""
    if rest is Rest.ALL_HERE:
        return
    for held in broken:
        draft.effect(
            RestLeft(
                part=held.part,
                lot=held.spot.lot,
                quantity=held.quantity,
                lost=rest is Rest.LOST,
                position=position,
                bag=bag,
            )
        )


def _in_bag(draft: Draft, act: Broke) -> list[Holding]:
    place = draft.use_bag(act.bag or "")
    if act.rest is Rest.IN_VEHICLE:
        raise Invalid(
            "It broke in a bag: the rest is here, or it is lost. If it broke at the vehicle, say "
            "at which `position`.",
            field="rest",
        )
    whole = [held for held in draft.book.at(place, act.part or "") if _whole(held, act)]
    if total(whole) >= act.quantity and len({held.part for held in whole}) == 1:
        return draft.draw(whole, act.quantity)
    drawn = from_bag(draft, place, part=act.part, lot=act.lot, quantity=act.quantity)
    return _not_broken_before(draft, drawn)


def _whole(held: Holding, act: Broke) -> bool:
    return held.spot.condition is not Condition.DAMAGED and act.lot in (None, held.spot.lot)


def _not_broken_before(draft: Draft, drawn: list[Holding]) -> list[Holding]:
    whole = [held for held in drawn if held.spot.condition is not Condition.DAMAGED]
    if not whole:
        raise draft.refusal(
            "broken-before",
            "By the book these are broken already. If another one broke, say how many in all; if "
            "the rest turned up, record it as found with `fragment`.",
        )
    return whole


def _at_position(draft: Draft, act: Broke) -> list[Holding]:
    """What is being fitted breaks first: loose ones, then what stands secured."""
    position = draft.position(act.position or "")
    part = _which(draft, position, act.part)
    there = [
        held
        for place in (loose(position.id), own_hole(position.id), secured(position.id))
        for held in draft.book.at(place, part)
        if _whole(held, act)
    ]
    short = act.quantity - total(there)
    if short <= 0:
        return draft.draw(there, act.quantity)
    draft.objection(
        "more-than-are-there",
        f"{position.where}: by the book {total(there)} whole {draft.words_for(part)} are there, "
        f"not {act.quantity}. Fit it first: scan the bag it comes from; or say which bag it broke "
        "in.",
        there=total(there),
    )
    return [*draft.draw(there, act.quantity), _let_in(draft, position, part, short)]


def _which(draft: Draft, position: Position, part: str | None) -> str:
    """The part that broke: the one named, or the only one there."""
    if part is not None:
        item = position.item(part)
        if item is None and not _lies_there(draft, position, part):
            parts = ", ".join(item.part for item in position.stack)
            raise Invalid(
                f"{part} does not belong at {position.where}; {parts} does.", field="part"
            )
        meant = item.meant_by(part) if item else (part,)
        return next((one for one in meant if _lies_there(draft, position, one)), part)
    there = {
        held.part
        for place in (loose(position.id), own_hole(position.id), secured(position.id))
        for held in draft.book.at(place)
    } or {item.part for item in position.stack}
    if len(there) > 1:
        raise Invalid("Say which `part` of the set broke.", field="part")
    return there.pop()


def _lies_there(draft: Draft, position: Position, part: str) -> bool:
    places = (loose(position.id), own_hole(position.id), secured(position.id))
    return any(draft.book.at(place, part) for place in places)


def _let_in(draft: Draft, position: Position, part: str, quantity: int) -> Holding:
    lot = f"extra:{draft.doing.key}"
    place = loose(position.id)
    draft.gate_in(part, quantity, place, gate=Gate.ADDITION, condition=Condition.USED, lot=lot)
    return Holding(part, draft.spot(place, Condition.USED, lot), quantity)


KINDS = (
    ActKind(
        kind="broke",
        group="truth",
        request=Broke,
        function=broke,
        roles=HANDS | {Role.PARTS},
        says="A piece broke while it was fitted or secured, or in a bag; it stays where it is.",
        example={"position": "FS-01", "rest": "in-vehicle"},
    ),
)
