"""Sent out of the house for paint, repair or warranty, and back again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Annotated

from partsvc.domain.acts.bags import from_bag
from partsvc.domain.acts.fields import BagCode, Lot, PartNumber, SomePieces, Where
from partsvc.domain.acts.kinds import ActKind, Needs
from partsvc.domain.acts.strip import taken_off
from partsvc.domain.away import away_at, expected, held_away
from partsvc.domain.carriers import lying_on
from partsvc.domain.desk import Draft, total, worn
from partsvc.domain.effects_away import CameBack, SentAway
from partsvc.domain.gates import may_strip
from partsvc.domain.ledger import Holding
from partsvc.domain.places import Condition, Gate, Place
from partsvc.domain.records import Form, Length, Name, Says, Words
from partsvc.errors import Invalid

Day = Annotated[
    str,
    Length(10, 10),
    Form(r"[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])", "a day, as in 2030-01-31"),
]


@dataclass(frozen=True, slots=True, kw_only=True)
class SendAway:
    """Pieces went out of the house: to paint, to be repaired, for a warranty."""

    to: Annotated[Name, Says("who has it now, as everybody here calls them")]
    bag: BagCode | None = None
    position: Annotated[Where | None, Says("straight off this position, without a bag")] = None
    part: PartNumber | None = None
    lot: Lot | None = None
    quantity: SomePieces | None = None
    words: Annotated[Words | None, Says("what is to be done there")] = None
    due: Annotated[Day | None, Says("the day it is to be back")] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ComeBack:
    """Pieces that were sent out are back, and lie in a bag now."""

    bag: BagCode
    part: PartNumber | None = None
    position: Annotated[Where | None, Says("only pieces of this position")] = None
    lot: Lot | None = None
    from_: Annotated[Name | None, Says("who had it; everybody's if left out")] = None
    quantity: SomePieces | None = None
    repaired: Annotated[bool, Says("what was broken is whole again")] = False


def send_away(draft: Draft, act: SendAway) -> None:
    """Pieces leave the house; what lies on a carrier goes along by word, and moves nothing."""
    place = known_place(draft, act.to)
    if act.due is not None:
        _a_day(act.due)
    for held in _leaving(draft, act):
        draft.carry(held, place, condition=worn(held.spot.condition, held.spot.place.kind))
        draft.effect(
            SentAway(
                to=place.at,
                part=held.part,
                lot=held.spot.lot,
                quantity=held.quantity,
                home=home_words(draft, held.spot.lot),
                note=act.words or "",
                due=act.due or "",
            )
        )
        _goes_along(draft, held.spot.lot)


def _a_day(due: str) -> None:
    try:
        date.fromisoformat(due)
    except ValueError as odd:
        raise Invalid(f"{due} is in no calendar.", field="due") from odd


def known_place(draft: Draft, to: str) -> Place:
    """Where they have it: one place for one name, however it is written."""
    name = " ".join(to.split())
    if not name:
        raise Invalid("Say who has it now.", field="to")
    names = [held.spot.place.at for held in held_away(draft.book, draft.desk.account)]
    names += [said.to for _, said in draft.desk.state.each(SentAway)]
    return away_at(next((one for one in names if one.casefold() == name.casefold()), name))


def _leaving(draft: Draft, act: SendAway) -> list[Holding]:
    if (act.bag is None) == (act.position is None):
        raise Invalid("Say where it was: in a `bag` or at a `position`.", field="bag")
    if act.bag is not None:
        place = draft.use_bag(act.bag)
        return from_bag(draft, place, part=act.part, lot=act.lot, quantity=act.quantity)
    if act.lot is not None:
        raise Invalid("A `lot` is told apart in a bag only.", field="lot")
    position = draft.position(act.position or "")
    may_strip(draft, draft.desk.plan.home_step[position.id])
    return taken_off(draft, position, part=act.part, quantity=act.quantity)


def home_words(draft: Draft, lot: str) -> str:
    """Where a lot is at home, for whoever has only the list."""
    step = draft.desk.plan.home_step.get(lot)
    return f"step {step.number}, {draft.desk.plan.positions[lot].where}" if step else ""


def _goes_along(draft: Draft, lot: str) -> None:
    carried = lying_on(draft.desk.plan, lot)
    if carried:
        places = "; ".join(one.where for one in carried)
        draft.warn(f"What lies on it goes along and stays booked at its place: {places}.")


def come_back(draft: Draft, act: ComeBack) -> None:
    """Pieces are back in the house, in a bag."""
    bag = draft.use_bag(act.bag)
    if act.position is not None:
        draft.position(act.position)
    there = _out(draft, act)
    if not there:
        raise draft.refusal(
            "nothing-away",
            "The book has nothing of this out of the house. If a piece came that nobody sent, "
            "record it as a stray: it will be matched later.",
        )
    if act.quantity is not None and act.part is None and len({one.part for one in there}) > 1:
        raise Invalid("Say which `part` so many are of.", field="part")
    wanted = act.quantity or total(there)
    if wanted > total(there):
        there = _more_came(draft, there, wanted, bag)
    for held in draft.draw(there, wanted):
        _brought_in(draft, act, held, bag)


def _out(draft: Draft, act: ComeBack) -> list[Holding]:
    """What may be meant: what is expected back; with a name, all that is with them."""
    account, state = draft.desk.account, draft.desk.state
    if act.from_ is None:
        found = tuple(expected(draft.book, state, account))
    else:
        place = known_place(draft, act.from_)
        found = tuple(held for held in held_away(draft.book, account) if held.spot.place == place)
    return [
        held
        for held in found
        if act.part in (None, held.part)
        and act.lot in (None, held.spot.lot)
        and act.position in (None, held.spot.lot)
    ]


def _more_came(draft: Draft, there: list[Holding], wanted: int, bag: Place) -> list[Holding]:
    last = there[-1]
    draft.objection(
        "more-than-are-there",
        f"By the book {total(there)} {draft.words_for(last.part)} are out of the house, not "
        f"{wanted}. Count again; or bring back {total(there)}.",
        there=total(there),
    )
    draft.gate_in(
        last.part,
        wanted - total(there),
        bag,
        gate=Gate.ADDITION,
        condition=last.spot.condition,
        lot=last.spot.lot,
    )
    return there


def _brought_in(draft: Draft, act: ComeBack, held: Holding, bag: Place) -> None:
    mended = act.repaired and held.spot.condition is Condition.DAMAGED
    if mended:
        # No piece gets better inside the book: the broken one leaves, the mended one comes in.
        draft.gate_out(held, gate=Gate.ADDITION)
        draft.gate_in(
            held.part,
            held.quantity,
            bag,
            gate=Gate.ADDITION,
            condition=Condition.USED,
            lot=held.spot.lot,
        )
    else:
        draft.carry(held, bag)
    draft.effect(
        CameBack(
            sender=held.spot.place.at,
            part=held.part,
            lot=held.spot.lot,
            quantity=held.quantity,
            repaired=mended,
        )
    )


KINDS = (
    ActKind(
        kind="send-away",
        group="away",
        request=SendAway,
        function=send_away,
        needs=frozenset({Needs.CAME_OFF}),
        says="Sent out of the house: to paint, to be repaired, for a warranty.",
        example={"bag": "7K3M-9HWZ", "to": "paint shop", "due": "2030-02-01"},
    ),
    ActKind(
        kind="come-back",
        group="away",
        request=ComeBack,
        function=come_back,
        says="What was sent out is back, and lies in a bag now.",
        example={"bag": "7K3M-9HWZ", "from": "paint shop"},
    ),
)
