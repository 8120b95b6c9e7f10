"""An assembly exchanged for another: what lay on the old one is answered for, place by place.

A new battery comes with some of its brackets and without others. Nobody may have to guess
afterwards which ones moved over: each position on the old one is answered exactly once.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from partsvc.domain.acts.away import home_words, known_place
from partsvc.domain.acts.bags import from_bag
from partsvc.domain.acts.fields import BagCode, Where
from partsvc.domain.acts.kinds import ActKind, Role
from partsvc.domain.carriers import lying_on
from partsvc.domain.desk import Draft, spent, worn
from partsvc.domain.effects import StageDone
from partsvc.domain.effects_away import CarrierAnswered, CarrierExchanged, SentAway, StaysAway
from partsvc.domain.ledger import Holding
from partsvc.domain.parts import SpentAt
from partsvc.domain.places import Condition, Gate, Place, loose, own_hole, secured
from partsvc.domain.plan import Position
from partsvc.domain.records import AtMost, Id, Name, Says
from partsvc.errors import Invalid


class Answered(StrEnum):
    """What became of the pieces at one position of the old assembly."""

    TRANSFERRED = "transferred"
    GONE_WITH_IT = "gone-with-it"
    CAME_NEW = "came-new"


@dataclass(frozen=True, slots=True, kw_only=True)
class PositionAnswer:
    """What became of the pieces at one position."""

    position: Where
    answer: Answered


@dataclass(frozen=True, slots=True, kw_only=True)
class ExchangeCarrier:
    """An assembly with all that lies on it was exchanged for another one."""

    position: Annotated[Id, Says("the position of the assembly itself")]
    bag: Annotated[BagCode, Says("the trolley or box where the old one stood, and the new one is")]
    answers: Annotated[tuple[PositionAnswer, ...], AtMost(200), Says("place by place")] = ()
    rest: Annotated[Answered | None, Says("the answer for all places not named")] = None
    to: Annotated[Name | None, Says("who has the old one now")] = None
    returns: Annotated[bool, Says("the old one is expected back")] = False


def exchange_carrier(draft: Draft, act: ExchangeCarrier) -> None:
    """The old assembly leaves, the new one stands in its stead, every place on it is answered."""
    carrier = draft.position(act.position)
    answers = _answers(draft, carrier, act)
    gone = known_place(draft, act.to or f"exchanged, {carrier.where}"[:80])
    bag = draft.use_bag(act.bag)
    old = _old_one(draft, carrier, bag)
    draft.effect(
        CarrierExchanged(
            position=carrier.id, part=old.part, to=gone.at, bag=bag.at, returns=act.returns
        )
    )
    _gone(draft, old, gone, act)
    draft.gate_in(old.part, 1, bag, gate=Gate.RECEIPT, condition=Condition.NEW, lot=draft.doing.key)
    for position, answer in answers:
        draft.effect(CarrierAnswered(carrier=carrier.id, position=position.id, answer=answer.value))
        _answered(draft, position, answer, gone, act)


def _answers(
    draft: Draft, carrier: Position, act: ExchangeCarrier
) -> list[tuple[Position, Answered]]:
    """Each position on the assembly with its one answer."""
    on_it = {position.id: position for position in lying_on(draft.desk.plan, carrier.id)}
    said: dict[str, Answered] = {}
    for one in act.answers:
        if one.position not in on_it:
            raise Invalid(
                f"{one.position} does not lie on {carrier.where}; these do: "
                f"{', '.join(on_it) or 'none'}.",
                field="answers",
            )
        if one.position in said:
            raise Invalid(
                f"{on_it[one.position].where} is answered twice. Send the one that holds.",
                field="answers",
            )
        said[one.position] = one.answer
    open_ones = [position for position in on_it.values() if position.id not in said]
    if open_ones and act.rest is None:
        places = "; ".join(f"{one.where} ({one.id})" for one in open_ones)
        raise draft.refusal(
            "not-answered",
            f"Not answered yet: {places}. Say of each whether it was transferred, has gone with "
            "the old one or came new; or say it of all the `rest`.",
            positions=tuple(one.id for one in open_ones),
        )
    return [
        (position, answer)
        for position in on_it.values()
        if (answer := said.get(position.id, act.rest)) is not None
    ]


def _old_one(draft: Draft, carrier: Position, bag: Place) -> Holding:
    """The old assembly, as it stands in the bag or on the trolley."""
    parts = [item.part for item in carrier.stack]
    home = [held for part in parts for held in draft.book.at(bag, part)]
    home.sort(key=lambda held: held.spot.lot != carrier.id)
    if home:
        return draft.draw(home, 1)[0]
    return from_bag(draft, bag, part=parts[0], quantity=1)[0]


def _gone(draft: Draft, held: Holding, gone: Place, act: ExchangeCarrier) -> None:
    """Pieces leave with the old assembly: for good, unless it is expected back."""
    draft.carry(held, gone, condition=worn(held.spot.condition, held.spot.place.kind))
    said = SentAway if act.returns else StaysAway
    draft.effect(
        said(
            to=gone.at,
            part=held.part,
            lot=held.spot.lot,
            quantity=held.quantity,
            home=home_words(draft, held.spot.lot),
        )
    )


def _answered(
    draft: Draft, position: Position, answer: Answered, gone: Place, act: ExchangeCarrier
) -> None:
    if answer is Answered.TRANSFERRED:
        for held in draft.secured_at(position.id):
            condition = worn(held.spot.condition, held.spot.place.kind)
            draft.carry(held, loose(position.id), condition=condition)
        return
    for place in (secured(position.id), loose(position.id), own_hole(position.id)):
        for held in draft.book.at(place):
            _gone(draft, held, gone, act)
    if answer is Answered.CAME_NEW:
        _came_new(draft, position)


def _came_new(draft: Draft, position: Position) -> None:
    """As many as belong there came with the new one, and its maker had secured them."""
    for item in position.stack:
        quantity = position.sets * item.per_set
        if quantity < 1:
            continue
        lot = draft.doing.key
        draft.gate_in(
            item.part,
            quantity,
            loose(position.id),
            gate=Gate.RECEIPT,
            condition=Condition.NEW,
            lot=lot,
        )
        facts = draft.desk.parts.get(item.part)
        fitted = spent(Condition.NEW, facts, SpentAt.FIT)
        held = Holding(item.part, draft.spot(loose(position.id), Condition.NEW, lot), quantity)
        draft.carry(held, secured(position.id), condition=spent(fitted, facts, SpentAt.SECURE))
        for stage in [one.id for one in position.stages] or ["secured"]:
            draft.effect(
                StageDone(
                    position=position.id,
                    stage=stage,
                    part=item.part,
                    quantity=quantity,
                    readings="came secured with the new assembly",
                )
            )


KINDS = (
    ActKind(
        kind="exchange-carrier",
        group="away",
        request=ExchangeCarrier,
        function=exchange_carrier,
        roles=frozenset({Role.TECHNICIAN, Role.PARTS, Role.LEAD}),
        says="An assembly exchanged for another; each place on the old one is answered once.",
        example={"position": "pack", "bag": "7K3M-9HWZ", "rest": "transferred"},
    ),
)
