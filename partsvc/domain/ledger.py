"""The double-entry book: entries move pieces between places, balances follow from them.

Every entry takes a quantity of one part out of one spot and puts the same quantity into another,
so no act can make or lose a piece; only the gate (`outside`) can, and it keeps its reasons.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from partsvc.domain.places import CONDITION_RANK, Condition, Place, PlaceKind


@dataclass(frozen=True, slots=True, order=True)
class Spot:
    """Where pieces lie, in what condition, and where they come from (their lot)."""

    account: str
    place: Place
    condition: Condition
    lot: str


@dataclass(frozen=True, slots=True)
class Entry:
    """A quantity of one part moved from one spot to another."""

    part: str
    quantity: int
    source: Spot
    target: Spot

    def reversed(self) -> Entry:
        """The entry that undoes this one."""
        return replace(self, source=self.target, target=self.source)


@dataclass(frozen=True, slots=True)
class Posted:
    """An entry as it stands in the book: with the act it belongs to."""

    seq: int
    act: str
    entry: Entry


@dataclass(frozen=True, slots=True)
class Holding:
    """So many pieces of a part at a spot."""

    part: str
    spot: Spot
    quantity: int


class Short(ValueError):
    """The book does not have that many there."""

    def __init__(self, entry: Entry, there: int) -> None:
        super().__init__(f"{there} {entry.part} at {entry.source.place}, {entry.quantity} asked")
        self.entry = entry
        self.there = there


class Worsened(ValueError):
    """An entry would make a piece better than it was."""


class Book:
    """The balances: how many pieces of each part lie where. Changed only by `post`."""

    def __init__(self, holdings: Iterable[Holding] = ()) -> None:
        self._quantity: dict[tuple[str, Spot], int] = defaultdict(int)
        self._at: dict[Place, set[tuple[str, Spot]]] = defaultdict(set)
        self._of: dict[str, set[Spot]] = defaultdict(set)
        for holding in holdings:
            self._add(holding.part, holding.spot, holding.quantity)

    def copy(self) -> Book:
        """A book of its own with the same balances."""
        return Book(self.holdings())

    def hold(self, holding: Holding) -> None:
        """Take in a balance read from another account, as it stands."""
        self._add(holding.part, holding.spot, holding.quantity)

    def _add(self, part: str, spot: Spot, quantity: int) -> None:
        key = (part, spot)
        self._quantity[key] += quantity
        self._at[spot.place].add(key)
        self._of[part].add(spot)

    def post(self, entry: Entry, *, reversal: bool = False) -> None:
        """Move the pieces; raises `Short` when they are not there, `Worsened` never for reversals.

        `outside` may go as negative as the world is large.
        """
        there = self.quantity(entry.part, entry.source)
        if entry.source.place.kind is not PlaceKind.OUTSIDE and there < entry.quantity:
            raise Short(entry, there)
        if not reversal and _betters(entry):
            raise Worsened(f"{entry.part} cannot become {entry.target.condition} again")
        self._add(entry.part, entry.source, -entry.quantity)
        self._add(entry.part, entry.target, entry.quantity)

    def quantity(self, part: str, spot: Spot) -> int:
        """How many of the part lie at exactly this spot."""
        return self._quantity.get((part, spot), 0)

    def holdings(self) -> Iterator[Holding]:
        """Everything that lies anywhere, the far side of the gate included."""
        for (part, spot), quantity in self._quantity.items():
            if quantity:
                yield Holding(part, spot, quantity)

    def at(self, place: Place, part: str = "") -> tuple[Holding, ...]:
        """What lies at a place, or what of one part; in a settled order."""
        found = (
            Holding(number, spot, quantity)
            for number, spot in self._at.get(place, ())
            if (quantity := self._quantity[number, spot]) and part in ("", number)
        )
        return tuple(sorted(found, key=lambda held: (held.part, held.spot)))

    def among(self, place: Place, parts: Collection[str]) -> tuple[Holding, ...]:
        """What lies at a place of these parts, in the order in which they are named."""
        return tuple(held for part in parts for held in self.at(place, part))

    def numbers(self, *places: Place) -> Mapping[str, int]:
        """How many pieces of each part lie at these places together."""
        found: dict[str, int] = defaultdict(int)
        for place in places:
            for held in self.at(place):
                found[held.part] += held.quantity
        return found

    def lying(self, part: str, kind: PlaceKind) -> tuple[Holding, ...]:
        """Where pieces of one part lie, of all places of a kind; in a settled order."""
        found = (
            Holding(part, spot, quantity)
            for spot in self._of.get(part, ())
            if spot.place.kind is kind and (quantity := self._quantity[part, spot]) > 0
        )
        return tuple(sorted(found, key=lambda held: held.spot))

    def count(self, place: Place, part: str = "", *, lot: str = "") -> int:
        """How many pieces lie at a place, of one part or lot if named."""
        return sum(held.quantity for held in self.at(place, part) if lot in ("", held.spot.lot))


def _betters(entry: Entry) -> bool:
    if entry.source.place.kind is PlaceKind.OUTSIDE:
        return False
    return CONDITION_RANK[entry.target.condition] < CONDITION_RANK[entry.source.condition]


def conserved(entries: Iterable[Entry]) -> bool:
    """Whether every entry moves at least one piece between two different spots."""
    return all(entry.quantity > 0 and entry.source != entry.target for entry in entries)


def recount(entries: Iterable[Entry]) -> Mapping[tuple[str, Spot], int]:
    """The balances as a plain sum over all entries, the gate included; for checks in pairs."""
    total: dict[tuple[str, Spot], int] = defaultdict(int)
    for entry in entries:
        total[entry.part, entry.source] -= entry.quantity
        total[entry.part, entry.target] += entry.quantity
    return {key: quantity for key, quantity in total.items() if quantity}
