"""What the positions of a job want: new pieces where the rule says so, and for what is gone.

Everything is counted under the number that is ordered today: the last successor that is taken at
the position. Old pieces that are still in the store are used up first, in the order of the plan.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from partsvc.domain.accepted_numbers import successors
from partsvc.domain.away import expected_home, gone_for_good
from partsvc.domain.between import loans_at
from partsvc.domain.desk import Desk
from partsvc.domain.good_pieces import GoodPieces
from partsvc.domain.ledger import Posted
from partsvc.domain.parts import Part, Rule
from partsvc.domain.places import (
    STOCK,
    Condition,
    Gate,
    PlaceKind,
    missing,
    outside,
    own_hole,
)
from partsvc.domain.plan import Position, StackItem

First = tuple[int, str, int]
NOWHERE: First = (10**6, "", 0)


@dataclass(slots=True)
class Want:
    """What is gathered for one part while going through the positions."""

    needed: int = 0
    reasons: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    may_break: int = 0
    first: First | None = None
    instead_of: set[str] = field(default_factory=set)

    def add(self, quantity: int, reason: str, first: First) -> None:
        """So many more, for this reason, at this step of the refit first."""
        self.needed += quantity
        self.reasons[reason] += quantity
        self.first = first if self.first is None else min(self.first, first)

    def join(self, other: Want) -> None:
        """Take in what is wanted of the same number for another reason."""
        for reason, quantity in other.reasons.items():
            self.add(quantity, reason, other.first or NOWHERE)


@dataclass(frozen=True, slots=True)
class Supply:
    """What is there already or on its way, by part."""

    stock: Mapping[str, int]
    bags: Mapping[str, int]
    ordered: Mapping[str, int]
    old: Mapping[str, int]

    def all_of(self, part: str) -> int:
        """How many in all."""
        return self.stock.get(part, 0) + self.bags.get(part, 0) + self.ordered.get(part, 0)


@dataclass(frozen=True, slots=True)
class _Told:
    """What is wanted of one line of one position, in planned pieces."""

    needed: tuple[tuple[int, str], ...]
    may_break: int = 0


def successor(part: str, parts: Mapping[str, Part]) -> str:
    """The number that takes a part's place today; itself if none does, or if they run in a ring."""
    *_, last = (part, *(number for number, _ in successors(part, parts)))
    return last


def ordered_as(item: StackItem, parts: Mapping[str, Part]) -> str:
    """The number that is ordered for a line today: its last successor that is taken there."""
    chain = [part for part, _ in successors(item.part, parts) if part in item.numbers]
    return chain[-1] if chain else item.part


def wants(desk: Desk, place: Mapping[str, int], supply: Supply) -> dict[str, Want]:
    """What is wanted of each number, and for which step first; `place` is the refit's order."""
    good = GoodPieces.of(desk)
    came_off = _came_off(desk.posted)
    old = Counter(supply.old)
    found: dict[str, Want] = defaultdict(Want)
    for step, position in desk.plan.each_position():
        first = (place.get(step.id, len(place)), step.id, step.number)
        coming: Counter[str] = Counter()
        for item in sorted(position.stack, key=lambda one: one.rides):
            today = ordered_as(item, desk.parts)
            told = _gathered(good, position, item, came_off, item.along_with(coming))
            covers = item.covered_by(today)
            want = found[today]
            for quantity, reason in told.needed:
                want.add(-(-quantity // covers), reason, first)
            want.may_break += -(-told.may_break // covers)
            if today != item.part:
                want.instead_of.add(item.part)
            needed = -(-sum(quantity for quantity, _ in told.needed) // covers)
            used_up = min(needed, old[today])
            old[today] -= used_up
            coming[today] += needed - used_up
    return found


def _came_off(posted: Sequence[Posted]) -> Mapping[tuple[str, str], int]:
    """How many home pieces of each position ever left it, by position and part."""
    found: dict[tuple[str, str], int] = defaultdict(int)
    for item in posted:
        entry = item.entry
        if entry.source.place.kind is PlaceKind.SECURED and (
            entry.source.lot == entry.source.place.at
        ):
            found[entry.source.place.at, entry.part] += entry.quantity
        # What another job had taken off came into this one where it lay.
        opened = entry.source.place == outside(Gate.OPENING)
        if opened and entry.target.place.kind is not PlaceKind.SECURED:
            found[entry.target.lot, entry.part] += entry.quantity
    return found


def _gathered(
    good: GoodPieces,
    position: Position,
    item: StackItem,
    came_off: Mapping[tuple[str, str], int],
    along: int,
) -> _Told:
    """What one line wants; `along` pieces of it come with the new ones of another line."""
    planned = position.sets * item.per_set
    if item.rule is Rule.REPLACE:
        short = planned - along - good.in_place(position, item)
        return _Told(needed=((short, "single-use"),) if short > 0 else ())
    short = planned - along - good.in_place(position, item)
    good_in_bags = _home_pieces(good.desk, position, item, damaged=False)
    good_in_bags -= good.spent_off(position, item)
    good_in_bags += expected_home(good.desk, position.id, item.numbers)
    good_in_bags += good.from_elsewhere(item, short - good_in_bags)
    short -= good_in_bags
    needed = []
    for reason, quantity in _why_short(good, position, item):
        take = min(short, quantity)
        if take > 0:
            needed.append((take, reason))
            short -= take
    if short > 0:
        needed.append((short, "no longer there"))
    off = sum(came_off.get((position.id, number), 0) for number in item.numbers)
    may_break = max(0, max(0, planned - off) + good_in_bags - along)
    return _Told(needed=tuple(needed), may_break=may_break)


def _home_pieces(desk: Desk, position: Position, item: StackItem, *, damaged: bool) -> int:
    """Pieces of a position in bags, with somebody, in their hole or used as a tool; good or not."""
    bagged = [
        held
        for kind in (PlaceKind.BAG, PlaceKind.ON_VEHICLE, PlaceKind.WITH)
        for number in item.numbers
        for held in desk.book.lying(number, kind)
        if held.spot.lot == position.id
    ]
    in_hole = desk.book.among(own_hole(position.id), item.numbers)
    return sum(
        held.quantity * item.covered_by(held.part)
        for held in (*bagged, *in_hole)
        if (held.spot.condition is Condition.DAMAGED) is damaged
    )


def _why_short(good: GoodPieces, position: Position, item: StackItem) -> list[tuple[str, int]]:
    desk = good.desk
    broke = _home_pieces(desk, position, item, damaged=True) + good.broken_in_place(position, item)
    spent = good.spent_off(position, item) + good.spent_in_place(position, item)
    lost = sum(
        held.quantity * item.covered_by(held.part)
        for number in item.numbers
        for held in desk.book.lying(number, PlaceKind.LOST)
        if held.spot.lot == position.id
    )
    gone = position.filled(desk.book.numbers(missing(position.id)))[item.part]
    return [
        ("broke", broke),
        (good.spent_words(position, item), spent),
        ("missing on arrival", gone),
        ("lost", lost),
        *_gone_elsewhere(desk, position, item),
    ]


def _gone_elsewhere(desk: Desk, position: Position, item: StackItem) -> Iterator[tuple[str, int]]:
    """Pieces of here that other vehicles have now: with an exchanged assembly, or lent."""
    gone = gone_for_good(desk, position.id, item.numbers)
    yield "gone with the exchanged assembly", sum(held.quantity for held in gone)
    for loan in loans_at(desk, position.id, item.numbers):
        if loan.lot == position.id:
            yield f"lent to job {loan.number}", loan.quantity


def numbers_in_use(desk: Desk) -> frozenset[str]:
    """Every number that the store may have something of for this job: what fits, and its kits."""
    lines = [item for _, position in desk.plan.each_position() for item in position.stack]
    fits = {number for item in lines for number in item.numbers}
    fits |= {successor(number, desk.parts) for number in fits}
    kits = {desk.parts[number].only_in for number in fits if number in desk.parts} - {""}
    return frozenset(fits | kits | {successor(kit, desk.parts) for kit in kits})


def supply_of(desk: Desk, on_order: Mapping[str, int]) -> Supply:
    """New pieces in the store, in this job's bags and on their way, as pieces of today's numbers.

    An old number, or one accepted on this job, counts for the number that is ordered instead.
    """
    as_today = _as_today(desk)
    stock, bags, ordered, old = Counter[str](), Counter[str](), Counter[str](), Counter[str]()

    def count(into: Counter[str], number: str, quantity: int) -> None:
        today, stands_for, covers = as_today.get(number) or (successor(number, desk.parts), 1, 1)
        into[today] += quantity * stands_for // covers
        if number != today:
            old[today] += quantity * stands_for // covers

    for held in desk.book.holdings():
        if held.spot.condition is not Condition.NEW or held.quantity < 1:
            continue
        if held.spot.place == STOCK:
            count(stock, held.part, held.quantity)
        elif held.spot.place.kind is PlaceKind.BAG:
            count(bags, held.part, held.quantity)
    for number, quantity in on_order.items():
        count(ordered, number, quantity)
    return Supply(stock, bags, ordered, old)


def _as_today(desk: Desk) -> Mapping[str, tuple[str, int, int]]:
    """For each number that fits anywhere: what is ordered instead, and what both stand for."""
    found: dict[str, tuple[str, int, int]] = {}
    lines = [item for _, position in desk.plan.each_position() for item in position.stack]
    # What is planned somewhere by its own number is counted as that.
    both = [(item, item.numbers[:1]) for item in lines] + [(item, item.numbers) for item in lines]
    for item, numbers in both:
        today = ordered_as(item, desk.parts)
        for number in numbers:
            found.setdefault(number, (today, item.covered_by(number), item.covered_by(today)))
    return found
