"""What goes along when a vehicle leaves in pieces: what lies in which bag, what is not home."""

from __future__ import annotations

from dataclasses import dataclass

from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.ledger import Holding
from partsvc.domain.parts import part_words
from partsvc.domain.places import PlaceKind
from partsvc.domain.temporaries import temporary_words

# In the order in which a person goes through them: first what has to be carried along.
_ORDER = (
    PlaceKind.BAG,
    PlaceKind.AWAY,
    PlaceKind.WITH,
    PlaceKind.ON_VEHICLE,
    PlaceKind.OWN_HOLE,
    PlaceKind.LOOSE,
    PlaceKind.LOST,
    PlaceKind.MISSING,
)
_WORDS = {
    PlaceKind.AWAY: "sent out to {at}",
    PlaceKind.WITH: "held by {at}",
    PlaceKind.ON_VEHICLE: "on the vehicle for a while, to come off",
    PlaceKind.OWN_HOLE: "finger-tight in its own hole",
    PlaceKind.LOOSE: "in its place, not secured",
    PlaceKind.LOST: "LOST",
    PlaceKind.MISSING: "missing on arrival",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class AlongLine:
    """So many pieces that are not secured at home: where they are, and where they belong."""

    place: str
    bag: str
    stowed_at: str
    part: str
    called: str
    quantity: int
    condition: str
    belongs: str
    step_number: int = 0


def along(desk: Desk) -> tuple[AlongLine, ...]:
    """Everything that is neither secured nor thrown out, bag by bag."""
    held = [
        one
        for one in desk.book.holdings()
        if one.quantity > 0 and one.spot.account == desk.account and one.spot.place.kind in _ORDER
    ]
    held.sort(key=lambda one: (_ORDER.index(one.spot.place.kind), one.spot, one.part))
    return tuple(_line(desk, one) for one in held)


def _line(desk: Desk, held: Holding) -> AlongLine:
    place = held.spot.place
    in_bag = place.kind is PlaceKind.BAG
    home = desk.plan.positions.get(held.spot.lot)
    step = desk.plan.home_step.get(held.spot.lot) or desk.plan.step_of.get(place.at)
    return AlongLine(
        place=f"bag {shown_bag(place.at)}" if in_bag else _WORDS[place.kind].format(at=place.at),
        bag=shown_bag(place.at) if in_bag else "",
        stowed_at=desk.state.stowed.get(place.at, "") if in_bag else "",
        part=held.part,
        called=_called(desk, held),
        quantity=held.quantity,
        condition=held.spot.condition.value,
        belongs=home.where if home else "",
        step_number=step.number if step else 0,
    )


def _called(desk: Desk, held: Holding) -> str:
    if held.spot.place.kind is PlaceKind.ON_VEHICLE:
        return temporary_words(desk, held.part, held.spot.place.at)
    return part_words(held.part, desk.parts.get(held.part))
