"""Which pieces of a job are good for where they belong: what the order need not ask for again.

A new bolt that stood secured and came off, or stands loose after it had been secured, is spent: a
second strip asks for it again. So is what broke in place, and what has no use left.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from partsvc.domain.desk import Desk
from partsvc.domain.inspection import waiting
from partsvc.domain.ledger import Holding
from partsvc.domain.parts import Rule
from partsvc.domain.places import Condition, Place, PlaceKind, loose, secured
from partsvc.domain.plan import Position, StackItem
from partsvc.domain.reuse import Lots, tightened_again
from partsvc.domain.tag_kinds import is_done_with
from partsvc.domain.use_counts import UseCounts, not_to_go_back, use_counts, used_up


@dataclass(slots=True)
class GoodPieces:
    """What is good where; the used pieces of no position here are given to each only once."""

    desk: Desk
    again: Lots
    counts: UseCounts
    homeless: Counter[str]

    @classmethod
    def of(cls, desk: Desk) -> GoodPieces:
        """Looked at once for a whole job."""
        counts = use_counts(desk)
        again = tightened_again(desk.posted, desk.plan)
        return cls(desk, again, counts, _homeless(desk, counts))

    def in_place(self, position: Position, item: StackItem) -> int:
        """How many planned pieces of a line need nothing more than to be secured."""
        renewed = item.rule is Rule.REPLACE
        pieces = self._renewed(position) if renewed else self._whole(position)
        return position.filled(pieces)[item.part] - self.spent_in_place(position, item)

    def _whole(self, position: Position) -> Counter[str]:
        found = Counter[str]()
        for place in (secured(position.id), loose(position.id)):
            for held in self._unbroken(place):
                found[held.part] += held.quantity
        return found

    def _renewed(self, position: Position) -> Counter[str]:
        """New ones only: each secured once, or put in new and not secured yet."""
        found = Counter[str]()
        for held in self._unbroken(secured(position.id)):
            if held.spot.lot != position.id:
                wrong = self.again.get((position.id, held.part, held.spot.lot), 0)
                found[held.part] += max(0, held.quantity - wrong)
        lying = Counter[str]()
        for held in self._unbroken(loose(position.id)):
            if held.spot.lot != position.id:
                lying[held.part] += held.quantity
        for number, quantity in lying.items():
            put_in = waiting(self.desk.posted, number, position.id).fitted[Condition.NEW]
            found[number] += min(quantity, put_in)
        return found

    def _unbroken(self, place: Place) -> Iterator[Holding]:
        for held in self.desk.book.at(place):
            if held.spot.condition is not Condition.DAMAGED:
                yield held

    def broken_in_place(self, position: Position, item: StackItem) -> int:
        """How many broke where they are and are still there."""
        return sum(
            held.quantity * item.covered_by(held.part)
            for place in (secured(position.id), loose(position.id))
            for held in self.desk.book.among(place, item.numbers)
            if held.spot.condition is Condition.DAMAGED
        )

    def from_elsewhere(self, item: StackItem, wanted: int) -> int:
        """Used pieces in bags that came new into this job and off again: good for any position."""
        found = 0
        for number in item.numbers:
            covers = item.covered_by(number)
            taken = min(max(0, -(-(wanted - found) // covers)), self.homeless[number])
            self.homeless[number] -= taken
            found += taken * covers
        return found

    def spent_in_place(self, position: Position, item: StackItem) -> int:
        """How many on the vehicle have no use left, and must be new when they come off."""
        return self._spent(position, item)[1]

    def spent_off(self, position: Position, item: StackItem) -> int:
        """How many that lie off the vehicle have no use left."""
        return self._spent(position, item)[0]

    def _spent(self, position: Position, item: StackItem) -> tuple[int, int]:
        if item.rule is not Rule.LIMITED:
            return 0, 0
        return not_to_go_back(self.counts, position, item)

    def spent_words(self, position: Position, item: StackItem) -> str:
        """Why they are asked for, in words."""
        times = {
            piece.times
            for (number, spot), pieces in self.counts.at.items()
            if number in item.numbers and position.id in (spot.lot, spot.place.at)
            for piece in pieces
            if used_up(piece, item)
        }
        used = " or ".join(str(one) for one in sorted(one for one in times if one is not None))
        return f"used up: may be used {item.max_uses or 1} times, used {used}"


def _homeless(desk: Desk, counts: UseCounts) -> Counter[str]:
    """Whole used pieces in bags that came off no position of the plan."""
    found = Counter[str]()
    for held in desk.book.holdings():
        if (
            held.quantity > 0
            and held.spot.account == desk.account
            and held.spot.place.kind is PlaceKind.BAG
            and held.spot.condition is Condition.USED
            and held.spot.lot not in desk.plan.positions
            and not is_done_with(desk, held)
        ):
            found[held.part] += held.quantity
    for number, quantity in _used_up_homeless(desk, counts).items():
        found[number] -= quantity
    return found


def _used_up_homeless(desk: Desk, counts: UseCounts) -> Counter[str]:
    """Those of limited use that have none left at any position that takes them."""
    found = Counter[str]()
    limits = {
        number: item
        for _, position in desk.plan.each_position()
        for item in position.stack
        for number in item.numbers
        if item.rule is Rule.LIMITED
    }
    for (number, spot), pieces in counts.at.items():
        in_bag = spot.place.kind is PlaceKind.BAG and spot.condition is Condition.USED
        if number in limits and in_bag and spot.lot not in desk.plan.positions:
            found[number] += sum(n for one, n in pieces.items() if used_up(one, limits[number]))
    return found
