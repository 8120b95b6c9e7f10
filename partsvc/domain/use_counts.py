"""How often each piece of limited use was used, as far as the job can know.

Followed piece by piece through the entries: what came new begins at 0, what was on the vehicle
begins at what the last job handed on, or at nothing known; marks counted at an inspection overrule
both. Nobody can tell pieces of one lot apart, so those put in are taken to be the least used, those
that come out the most.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from partsvc.domain.desk import Desk
from partsvc.domain.effects import Inspected
from partsvc.domain.effects_uses import UsesCarried, UsesKnown
from partsvc.domain.job_state import Happened
from partsvc.domain.ledger import Entry, Holding, Posted, Spot
from partsvc.domain.parts import Rule
from partsvc.domain.places import Condition, PlaceKind, loose, secured
from partsvc.domain.plan import Plan, Position, StackItem


@dataclass(frozen=True, slots=True)
class Uses:
    """The uses behind one piece, None where nobody knows; `counted` when this one is among them."""

    times: int | None
    counted: bool = False

    @property
    def rank(self) -> tuple[bool, int]:
        """The least used first, those nobody knows of last."""
        return (self.times is None, self.times or 0)

    def once_more(self) -> Uses:
        """The piece with one use more behind it."""
        return Uses(None if self.times is None else self.times + 1, counted=True)


UNKNOWN = Uses(None)
_IN_PLACE = (PlaceKind.LOOSE, PlaceKind.SECURED)
_LAID_DOWN = (PlaceKind.BAG, PlaceKind.OWN_HOLE, PlaceKind.WITH)


@dataclass(slots=True)
class UseCounts:
    """Where the pieces of limited use are, and how often each was used."""

    at: dict[tuple[str, Spot], Counter[Uses]] = field(default_factory=lambda: defaultdict(Counter))
    renamed: dict[tuple[str, int, Spot], list[Uses]] = field(default_factory=dict)

    def pieces(self, part: str, spot: Spot) -> list[Uses]:
        """The pieces at a spot, those counted already first, then the least used."""
        found = self.at.get((part, spot), Counter[Uses]())
        return sorted(found.elements(), key=lambda one: (not one.counted, *one.rank))

    def of_lot(self, part: str, lot: str) -> Iterator[tuple[Spot, list[Uses]]]:
        """All pieces of one part and lot, spot by spot in a settled order."""
        for number, spot in sorted(self.at):
            if (number, spot.lot) == (part, lot) and spot.place.kind is not PlaceKind.SCRAP:
                yield spot, self.pieces(part, spot)

    def follow(self, posted: Posted) -> None:
        """Follow one movement."""
        entry = posted.entry
        moving = self._leaving(posted)
        if entry.target.place.kind is PlaceKind.OUTSIDE:
            self.renamed[posted.act, entry.quantity, entry.source] = moving
            return
        self.at[entry.part, entry.target].update(_moved(piece, entry) for piece in moving)

    def _leaving(self, posted: Posted) -> list[Uses]:
        entry = posted.entry
        if entry.source.place.kind is PlaceKind.OUTSIDE:
            # A change of number passes the gate: out, and at once in again in the same act.
            passed = self.renamed.pop((posted.act, entry.quantity, entry.target), None)
            return passed or [_comes_in(entry)] * entry.quantity
        if entry.source.place.kind is PlaceKind.STOCK:
            return [_comes_in(entry)] * entry.quantity
        here = self.at[entry.part, entry.source]
        put_in = entry.target.place.kind in _IN_PLACE
        ordered = sorted(here.elements(), key=lambda one: (not one.counted, *one.rank))
        if not put_in:
            ordered = sorted(here.elements(), key=lambda one: one.rank, reverse=True)
        moving = ordered[: entry.quantity]
        here.subtract(moving)
        self.at[entry.part, entry.source] = +here
        return moving + [UNKNOWN] * (entry.quantity - len(moving))

    def told(self, part: str, lot: str, quantity: int, times: int, *, place: str = "") -> None:
        """So many pieces of a lot are known to have so many uses; those nobody knew of first."""
        for spot, pieces in self.of_lot(part, lot):
            if place not in ("", str(spot.place)):
                continue
            unknown_first = sorted(pieces, key=lambda one: one.rank, reverse=True)
            here = self.at[part, spot]
            for piece in unknown_first[:quantity]:
                here[piece] -= 1
                # Marks are made when a piece is tightened: one only fitted has none yet.
                fitted = piece.counted and spot.place.kind is PlaceKind.LOOSE
                here[replace(piece, times=times + int(fitted))] += 1
            quantity -= min(quantity, len(pieces))
            self.at[part, spot] = +here


def _comes_in(entry: Entry) -> Uses:
    return Uses(0) if entry.target.condition is Condition.NEW else UNKNOWN


def _moved(piece: Uses, entry: Entry) -> Uses:
    """The piece after a movement: put in used, or tightened, it has one use more."""
    source, target = entry.source.place.kind, entry.target.place.kind
    if target is PlaceKind.LOOSE and source in _LAID_DOWN:
        new = entry.source.condition is Condition.NEW
        return replace(piece, counted=False) if new else piece.once_more()
    if target is PlaceKind.SECURED and source is PlaceKind.LOOSE:
        return piece if piece.counted else piece.once_more()
    if source == target:
        return piece
    return replace(piece, counted=False)


def limited_numbers(plan: Plan) -> frozenset[str]:
    """The part numbers that some position of the plan takes only a limited number of times."""
    return frozenset(
        number
        for _, position in plan.each_position()
        for item in position.stack
        if item.rule is Rule.LIMITED
        for number in item.numbers
    )


def use_counts(desk: Desk, posted: Iterable[Posted] | None = None) -> UseCounts:
    """The uses of all pieces of limited use; `posted` may hold entries of the act being written."""
    counts = UseCounts()
    if not limited_numbers(desk.plan):
        return counts
    told = [one for one in desk.happened if isinstance(one.effect, Inspected | UsesCarried)]
    told.reverse()
    for item in desk.posted if posted is None else posted:
        while told and 0 < told[-1].seq < (item.seq or told[-1].seq + 1):
            _tell(counts, told.pop())
        # All are followed, for a piece may get its last number late.
        counts.follow(item)
    while told:
        _tell(counts, told.pop())
    return counts


def _tell(counts: UseCounts, happened: Happened) -> None:
    said = happened.effect
    if isinstance(said, UsesCarried):
        counts.told(said.part, said.position, said.quantity, said.uses)
    elif isinstance(said, Inspected) and said.passed and said.uses is not None:
        counts.told(said.part, said.lot, said.quantity, said.uses, place=said.place)


def used_up(piece: Uses, item: StackItem) -> bool:
    """Whether a piece is known to have no use left."""
    return piece.times is not None and piece.times >= (item.max_uses or 1)


def in_place(counts: UseCounts, position: Position, part: str) -> Counter[int | None]:
    """How often the pieces that are in place at a position were used."""
    places = (secured(position.id), loose(position.id))
    found = Counter[int | None]()
    for (number, spot), pieces in counts.at.items():
        if number == part and spot.place in places:
            for piece, quantity in pieces.items():
                found[piece.times] += quantity
    return found


def known_at_release(desk: Desk) -> Iterator[UsesKnown]:
    """What is handed on to the next job: position by position, how often its pieces were used."""
    counts = use_counts(desk)
    for _, position in desk.plan.each_position():
        for item in position.stack:
            for number in item.numbers if item.rule is Rule.LIMITED else ():
                times = in_place(counts, position, number)
                for uses in sorted(times, key=lambda one: (one is None, one or 0)):
                    yield UsesKnown(
                        position=position.id, part=number, quantity=times[uses], uses=uses
                    )


def not_to_go_back(counts: UseCounts, position: Position, item: StackItem) -> tuple[int, int]:
    """How many pieces of a line have no use left: lying off the vehicle, and still in place.

    What was put in during this job is not among them: it stays where it is.
    """
    off = on = 0
    for (number, spot), pieces in counts.at.items():
        if number not in item.numbers or spot.condition is Condition.DAMAGED:
            continue
        spent = sum(n for one, n in pieces.items() if not one.counted and used_up(one, item))
        if spot.place in (secured(position.id), loose(position.id)):
            on += spent
        elif spot.lot == position.id and spot.place.kind in _LAID_DOWN:
            off += spent
    return off, on


def uses_at(counts: UseCounts, position: Position, item: StackItem) -> str:
    """How often the pieces of a line were used: those in place and its own laid down."""
    if item.rule is not Rule.LIMITED:
        return ""
    here = (PlaceKind.SECURED, PlaceKind.LOOSE)
    found: list[Uses] = []
    for (number, spot), pieces in counts.at.items():
        in_place = spot.place.kind in here and spot.place.at == position.id
        own = spot.place.kind in _LAID_DOWN and spot.lot == position.id
        whole = spot.condition is not Condition.DAMAGED
        if number in item.numbers and whole and (in_place or own):
            found += pieces.elements()
    return uses_words(found, item)


def still_of_use(counts: UseCounts, item: StackItem, held: Holding) -> int:
    """How many of these pieces may go in by what is known of their uses; all, if not limited."""
    if item.rule is not Rule.LIMITED:
        return held.quantity
    pieces = counts.pieces(held.part, held.spot)
    return held.quantity - sum(used_up(one, item) for one in pieces)


def uses_words(pieces: Iterable[Uses | int | None], item: StackItem) -> str:
    """How often pieces were used, in words; empty when nothing is said of none."""
    times = Counter(one.times if isinstance(one, Uses) else one for one in pieces)
    most = item.max_uses or 1
    told = [
        f"{quantity} used {uses} of {most} times{': no use left' if uses >= most else ''}"
        for uses, quantity in sorted((u, n) for u, n in times.items() if u is not None)
    ]
    if times[None]:
        told.append(f"{times[None]} used nobody knows how often: count the marks")
    return ", ".join(told)
