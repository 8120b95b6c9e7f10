"""What lies on a removable carrier: captive screws on a cover, brackets on the battery.

Moving the carrier moves none of these pieces: they stay secured or loose at their positions, and
only the words for where to find them change. While the carrier is off the vehicle they are worked
at on the bench.
"""

from __future__ import annotations

from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.ledger import Book, Holding
from partsvc.domain.parts import part_words
from partsvc.domain.places import Condition, Place, PlaceKind
from partsvc.domain.plan import Plan, Position, Step
from partsvc.domain.progress import whereabouts


def carriers(plan: Plan, position: Position) -> tuple[Position, ...]:
    """The carriers a position lies on, the nearest first: one may lie on another."""
    found: dict[str, Position] = {}
    at = plan.positions.get(position.on)
    while at is not None and at.id != position.id and at.id not in found:
        found[at.id] = at
        at = plan.positions.get(at.on)
    return tuple(found.values())


def lying_on(plan: Plan, carrier: str) -> tuple[Position, ...]:
    """The positions on a carrier, those on a carrier that lies on it among them; in plan order."""
    return tuple(
        position
        for position in plan.positions.values()
        if any(one.id == carrier for one in carriers(plan, position))
    )


def is_off(position: Position, book: Book) -> bool:
    """Whether nothing of a position is on the vehicle."""
    now = whereabouts(position, book)
    return not now.secured and not now.loose and not now.own_hole


def bench_of(plan: Plan, book: Book, position: Position) -> Position | None:
    """The carrier that is off the vehicle and takes the position with it; None if none is."""
    return next((one for one in carriers(plan, position) if is_off(one, book)), None)


def has_part_on(plan: Plan, step: Step, carrier: Position) -> bool:
    """Whether any position of a step lies on this carrier."""
    return any(
        one.id == carrier.id for position in step.positions for one in carriers(plan, position)
    )


def carried_words(desk: Desk, position: Position) -> str:
    """What a position lies on and where that is now; empty for one that is on no carrier.

    "on the cover (CV-1), which is in bag 7K3M-9HWZ (rack 2)"
    """
    return ", ".join(_on_words(desk, one) for one in carriers(desk.plan, position))


def bench_words(desk: Desk, position: Position) -> str:
    """The same where a carrier is off the vehicle; empty where the position is on the vehicle."""
    if bench_of(desk.plan, desk.book, position) is None:
        return ""
    return carried_words(desk, position)


def _on_words(desk: Desk, carrier: Position) -> str:
    part = carrier.stack[0].part
    name = f"on the {part_words(part, desk.parts.get(part))}"
    if not is_off(carrier, desk.book):
        return name
    held = whereabouts_of(desk, carrier)
    return f"{name}, which is {_lies(desk, held.spot.place) if held else 'not in place'}"


def whereabouts_of(desk: Desk, carrier: Position) -> Holding | None:
    """Where a carrier that is off lies: the one that came off, or a new one in its stead."""
    kinds = (PlaceKind.BAG, PlaceKind.AWAY, PlaceKind.LOST)
    found = [
        held
        for kind in kinds
        for item in carrier.stack
        for number in item.numbers
        for held in desk.book.lying(number, kind)
    ]
    home = [held for held in found if held.spot.lot == carrier.id]
    new = [held for held in found if held.spot.condition is Condition.NEW]
    in_bags = [held for held in (*home, *new) if held.spot.place.kind is PlaceKind.BAG]
    return next(iter((*in_bags, *home, *new)), None)


def _lies(desk: Desk, place: Place) -> str:
    if place.kind is PlaceKind.BAG:
        at = desk.state.stowed.get(place.at, "")
        return f"in bag {shown_bag(place.at)}" + (f" ({at})" if at else "")
    return f"away: {place.at}" if place.kind is PlaceKind.AWAY else "lost"


def carried_by(desk: Desk, code: str) -> tuple[str, ...]:
    """What lies on the carriers in a bag, in words: it is there too, though in no bag."""
    inside = [
        carrier
        for carrier in desk.plan.positions.values()
        if (held := whereabouts_of(desk, carrier)) is not None
        and held.spot.place == Place(PlaceKind.BAG, code)
        and is_off(carrier, desk.book)
    ]
    found = {one.id: one for carrier in inside for one in lying_on(desk.plan, carrier.id)}
    return tuple(line for one in found.values() if (line := _carried(desk, one)))


def _carried(desk: Desk, position: Position) -> str:
    now = whereabouts(position, desk.book)
    here = [f"{n} {how}" for n, how in ((now.secured, "secured"), (now.loose, "loose")) if n]
    step = desk.plan.home_step[position.id]
    names = " + ".join(part_words(one.part, desk.parts.get(one.part)) for one in position.stack)
    return f"step {step.number}, {position.where}: {names}, {', '.join(here)}" if here else ""
