"""What is not in order at the positions: short, loose, wrong, too many, tightened again.

A piece that is short somewhere usually lies somewhere else. Both sides are one finding, not two:
each shortage is first explained by the pieces that are known to be missing from just there.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from partsvc.domain.away import expected_home, gone_for_good
from partsvc.domain.between import Loan, loans_at
from partsvc.domain.carriers import bench_words
from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.findings import Finding
from partsvc.domain.ledger import Holding, Spot
from partsvc.domain.parts import Rule, part_words
from partsvc.domain.places import Condition, Place, PlaceKind, loose, missing, own_hole, secured
from partsvc.domain.plan import Position, StackItem, Step
from partsvc.domain.progress import too_many
from partsvc.domain.reuse import Lots, tightened_again
from partsvc.domain.tag_kinds import for_old_parts


@dataclass(slots=True)
class Explained:
    """Pieces in bags that a finding at a position already names."""

    pieces: dict[tuple[str, Spot], int] = field(default_factory=lambda: defaultdict(int))
    coming: dict[str, Counter[str]] = field(default_factory=lambda: defaultdict(Counter))
    lent: Counter[Loan] = field(default_factory=Counter)

    def free(self, held: Holding) -> int:
        """How many of these pieces no finding has named yet."""
        return held.quantity - self.pieces[held.part, held.spot]

    def take(self, held: Holding, quantity: int) -> int:
        """Name so many of them; answers how many were free."""
        taken = min(quantity, self.free(held))
        self.pieces[held.part, held.spot] += taken
        return taken


@dataclass(frozen=True, slots=True)
class Lot:
    """Where one line of one position's stack is looked at."""

    desk: Desk
    step: Step
    position: Position
    item: StackItem

    def finding(self, kind: str, quantity: int, words: str, **more: str) -> Finding:
        """A finding at this position."""
        facts = {"part": self.item.part, "place": self.position.id} | more
        bench = bench_words(self.desk, self.position)
        where = f"{self.position.where} ({bench})" if bench else self.position.where
        return Finding(
            kind=kind,
            quantity=quantity,
            words=f"Step {self.step.number}, {where}: {words}",
            step=self.step.id,
            step_number=self.step.number,
            position=self.position.id,
            **facts,  # type: ignore[arg-type]
        )

    @property
    def called(self) -> str:
        """The part in words."""
        return called(self.desk, self.item.part)

    @property
    def own(self) -> tuple[str, ...]:
        """The numbers that are looked at on this line: of two that accept one, the first."""
        found = (one for one in self.item.numbers if self.position.item(one) == self.item)
        return tuple(found)

    def held(self, *places: Place) -> list[Holding]:
        """What lies at these places of the line's own numbers."""
        return [held for place in places for held in self.desk.book.among(place, self.own)]

    def called_as(self, part: str) -> str:
        """A piece in words: KF-1302 for KF-1301, where another number was put in."""
        instead = "" if part == self.item.part else f" for {self.item.part}"
        return called(self.desk, part) + instead

    def called_of(self, held: Iterable[Holding]) -> str:
        """These pieces in words, each number once."""
        return " and ".join(self.called_as(part) for part in dict.fromkeys(h.part for h in held))


def called(desk: Desk, part: str) -> str:
    """A part in words."""
    return part_words(part, desk.parts.get(part))


def position_findings(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """Everything not in order at any position, in plan order."""
    again = tightened_again(desk.posted, desk.plan)
    for step, position in desk.plan.each_position():
        strangers = _strangers(desk, position)
        for item in sorted(position.stack, key=lambda one: one.rides):
            line = Lot(desk, step, position, item)
            yield from _damaged(line)
            yield from _loose(line)
            yield from _over(line)
            yield from _unreplaced(line, again, explained)
            yield from _short(line, sum(strangers.values()), explained)
        yield from _in_own_hole(desk, step, position)
        for part, quantity in strangers.items():
            line = Lot(desk, step, position, position.stack[0])
            words = f"{quantity} {called(desk, part)} in place of {line.called}."
            yield line.finding("wrong-part", quantity, words, part=part)


def _strangers(desk: Desk, position: Position) -> dict[str, int]:
    """Parts in this position that do not belong there."""
    there = desk.book.numbers(secured(position.id), loose(position.id))
    return {part: quantity for part, quantity in there.items() if position.item(part) is None}


def _in_own_hole(desk: Desk, step: Step, position: Position) -> Iterator[Finding]:
    """What was put back finger-tight must come out first, whatever else is in place by the book."""
    for held in desk.book.at(own_hole(position.id)):
        line = Lot(desk, step, position, position.item(held.part) or StackItem(part=held.part))
        name = line.called_as(held.part)
        words = f"{held.quantity} {name} finger-tight in its own hole, not secured."
        yield line.finding("own-hole", held.quantity, words, lot=held.spot.lot)


def _loose(line: Lot) -> Iterator[Finding]:
    held = line.held(loose(line.position.id))
    quantity = sum(one.quantity for one in held)
    if quantity:
        # Those that stand secured went through every stage; what is beyond them is of these.
        through = sum(one.quantity for one in line.held(secured(line.position.id)))
        reached = [
            stage.words for stage in line.position.stages if _stage_done(line, stage.id) > through
        ]
        how = f" (done so far: {', '.join(reached)})" if reached else ""
        words = f"{quantity} {line.called_of(held)} in place but not secured{how}."
        yield line.finding("loose", quantity, words)


def _stage_done(line: Lot, stage: str) -> int:
    stages = line.desk.state.stages
    return sum(stages[line.position.id, stage, part] for part in line.own)


def _damaged(line: Lot) -> Iterator[Finding]:
    there = line.held(secured(line.position.id), loose(line.position.id))
    held = [one for one in there if one.spot.condition is Condition.DAMAGED]
    hurt = sum(one.quantity for one in held)
    if hurt:
        words = f"{hurt} {line.called_of(held)} in place broke or failed inspection."
        yield line.finding("damaged", hurt, f"{words} Fit a good one.")


def _over(line: Lot) -> Iterator[Finding]:
    over = too_many(line.position, line.desk.book)[line.item.part]
    if over > 0:
        yield line.finding("over", over, f"{over} {line.called} more than belong there.")


def _unreplaced(line: Lot, again: Lots, explained: Explained) -> Iterator[Finding]:
    found = [
        (part, lot, quantity)
        for (position, part, lot), quantity in again.items()
        if position == line.position.id and part in line.own
    ]
    for part, lot, quantity in found:
        spare = _take_new(line, quantity, explained)
        words = f"{quantity} {line.called_as(part)} tightened a second time; single-use.{spare}"
        yield line.finding("unreplaced", quantity, words, lot=lot)


def _take_new(line: Lot, quantity: int, explained: Explained) -> str:
    """New pieces waiting in a bag for just this; in words."""
    where = []
    for held in _bagged(line):
        if held.spot.condition is Condition.NEW and explained.take(held, quantity):
            where.append(shown_bag(held.spot.place.at))
    return f" New ones are in bag {', '.join(where)}." if where else ""


def _bagged(line: Lot) -> list[Holding]:
    book = line.desk.book
    return [held for part in line.item.numbers for held in book.lying(part, PlaceKind.BAG)]


def _short(line: Lot, strangers: int, explained: Explained) -> Iterator[Finding]:
    """What is short here, each piece for the best known reason."""
    here = (secured(line.position.id), loose(line.position.id), own_hole(line.position.id))
    filled = line.position.filled(line.desk.book.numbers(*here))[line.item.part]
    coming = explained.coming[line.position.id]
    short = line.position.sets * line.item.per_set - filled - strangers
    short -= line.item.along_with(coming) + _serving(line) + _coming_back(line)
    short -= _with_people(line)
    for kind, words, held in _reasons(line):
        if short <= 0:
            return
        covers = line.item.covered_by(held.part)
        pieces, in_bag = -(-short // covers), held.spot.place.kind is PlaceKind.BAG
        pieces = min(pieces, explained.take(held, pieces) if in_bag else held.quantity)
        quantity = min(short, pieces * covers)
        if quantity:
            short -= quantity
            coming[held.part] += pieces
            code = held.spot.place.at if in_bag else ""
            words = f"{pieces} {line.called_as(held.part)} {words}."
            yield line.finding(kind, quantity, words, lot=held.spot.lot, bag=code)
    for loan in loans_at(line.desk, line.position.id, line.own):
        quantity = min(max(0, short), loan.quantity - explained.lent[loan])
        if quantity:
            short -= quantity
            explained.lent[loan] += quantity
            words = f"{quantity} {line.called_as(loan.part)} lent to {loan.where}. Get it back, or "
            yield line.finding("lent", quantity, f"{words}fit a new one.", lot=loan.other)
    if short > 0:
        yield line.finding("short", short, f"{short} {line.called} not there, and none in a bag.")


def _coming_back(line: Lot) -> int:
    """Good pieces of here that are out of the house: that they are away is their finding."""
    if line.item.rule is Rule.REPLACE:
        return 0
    return expected_home(line.desk, line.position.id, line.own)


def _with_people(line: Lot) -> int:
    """Pieces for here that are in somebody's lock box: that they are still there is the finding."""
    return sum(
        held.quantity * line.item.covered_by(held.part)
        for part in line.own
        for held in line.desk.book.lying(part, PlaceKind.WITH)
        if held.spot.lot == line.position.id
    )


def _serving(line: Lot) -> int:
    """Pieces of here that serve as a tool on the vehicle: that they are on is their finding."""
    book, position = line.desk.book, line.position.id
    return sum(
        held.quantity * line.item.covered_by(held.part)
        for part in line.own
        for held in book.lying(part, PlaceKind.ON_VEHICLE)
        if held.spot.lot == position and _may_return(held, line.item)
    )


def _reasons(line: Lot) -> Iterator[tuple[str, str, Holding]]:
    """Pieces known to be missing from this position, and how that is called, likeliest first."""
    position = line.position.id
    bagged = sorted(_bagged(line), key=lambda held: held.spot)
    thrown = [held for held in bagged if for_old_parts(line.desk, held.spot.place.at)]
    for held in bagged:
        bag = shown_bag(held.spot.place.at)
        home = held.spot.lot == position and _may_return(held, line.item)
        if home and held not in thrown:
            yield "not-back", f"not back yet, in bag {bag}", held
    for held in bagged:
        if held.spot.condition is Condition.NEW:
            bag = shown_bag(held.spot.place.at)
            yield "not-back", f"not back yet; new in bag {bag}", held
    for held in thrown:
        bag = shown_bag(held.spot.place.at)
        if held.spot.lot == position and _may_return(held, line.item):
            yield "not-back", f"not back yet: a good one lies in old-parts bag {bag}", held
    for held in bagged:
        bag = shown_bag(held.spot.place.at)
        if held.spot.lot == position and held.spot.condition is Condition.DAMAGED:
            yield "broken", f"broke (in bag {bag}) and nothing is in its place", held
        elif held.spot.lot == position and not _may_return(held, line.item):
            yield "not-back", f"not back yet: the old one in bag {bag} is single-use", held
    for held in gone_for_good(line.desk, position, line.own):
        yield "short", "gone with the old assembly, and nothing is in its place", held
    for held in line.held(missing(position)):
        yield "missing-on-arrival", "missing on arrival, and nothing is in its place", held


def _may_return(held: Holding, item: StackItem) -> bool:
    return item.rule is not Rule.REPLACE and held.spot.condition is not Condition.DAMAGED
