"""A vehicle that comes in half stripped: what was off before anybody here touched it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.fields import BagCode, Sets
from partsvc.domain.acts.found_counts import counted
from partsvc.domain.acts.kinds import HANDS, JUDGES, ActKind
from partsvc.domain.desk import Draft, worn
from partsvc.domain.effects_variants import ArrivedOff
from partsvc.domain.places import Place, loose, missing, own_hole
from partsvc.domain.plan import Position
from partsvc.domain.records import AtMost, Id, Says, Words
from partsvc.errors import Invalid


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrived:
    """It was off, or loose, when the vehicle came."""

    words: Annotated[Words, Says("how it came: from whom, in what, what they said")]
    positions: Annotated[tuple[Id, ...], AtMost(200), Says("the positions this is said of")] = ()
    step: Annotated[Id | None, Says("all positions of this step")] = None
    bag: BagCode | None = None
    loose: Annotated[bool, Says("in its place, and loose")] = False
    own_hole: Annotated[bool, Says("finger-tight in its own hole")] = False
    missing: Annotated[bool, Says("not there at all")] = False
    sets: Sets | None = None


def arrived_off(draft: Draft, act: Arrived) -> None:
    """Pieces were off before anybody here touched the vehicle: no step had to come first."""
    place_for = _how_it_came(draft, act)
    for position in _spoken_of(draft, act):
        position = counted(draft, position, sets=act.sets)
        target = place_for(position)
        _lay_out(draft, position, target, act.sets)
        draft.effect(ArrivedOff(position=position.id, how=target.kind.value, words=act.words))


class _Came:
    """Where what was off is now: one bag for all, or each at its own position."""

    def __init__(self, draft: Draft, act: Arrived) -> None:
        self._bag = draft.use_bag(act.bag) if act.bag is not None else None
        self._at = loose if act.loose else own_hole if act.own_hole else missing

    def __call__(self, position: Position) -> Place:
        return self._bag or self._at(position.id)


def _how_it_came(draft: Draft, act: Arrived) -> _Came:
    if [act.bag is not None, act.loose, act.own_hole, act.missing].count(True) != 1:
        raise Invalid(
            "Say how it came: in a `bag`, `loose` in its place, in its `own_hole`, or `missing`.",
            field="bag",
        )
    return _Came(draft, act)


def _spoken_of(draft: Draft, act: Arrived) -> tuple[Position, ...]:
    if bool(act.positions) == (act.step is not None):
        raise Invalid("Say which `positions`, or which `step`, it is said of.", field="positions")
    if act.step is None:
        return tuple(draft.position(one) for one in dict.fromkeys(act.positions))
    step = draft.step_of(act.step)
    if not step.positions:
        raise draft.refusal(
            "nothing-there",
            f"Step {step.number} has no positions. If it was done before the vehicle came, tick it "
            "off and say so in a note.",
        )
    return step.positions


def _lay_out(draft: Draft, position: Position, target: Place, sets: int | None) -> None:
    moved = 0
    for item in position.stack:
        there = [held for held in draft.secured_at(position.id) if held.part in item.numbers]
        asked = sum(held.quantity for held in there) if sets is None else sets * item.per_set
        for held in draft.draw(there, asked):
            condition = worn(held.spot.condition, held.spot.place.kind)
            draft.carry(held, target, condition=condition)
            moved += held.quantity
    if not moved:
        raise draft.refusal(
            "nothing-there",
            f"Nothing is in place at {position.where} by the book any more. If it was off when "
            "the vehicle came, reverse what was recorded there first.",
        )


KINDS = (
    ActKind(
        kind="arrived-off",
        group="strip",
        request=Arrived,
        function=arrived_off,
        roles=HANDS | JUDGES,
        says="It was off, or loose, when the vehicle came.",
        example={
            "positions": ["FS-01", "RS-02"],
            "bag": "7K3M-9HWZ",
            "words": "came in a box from the first workshop",
        },
    ),
)
