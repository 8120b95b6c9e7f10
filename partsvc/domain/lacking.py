"""Which pieces the refit lacks, step by step, and what is there or promised for each of them.

A piece is counted once: what lies in a bag, in the store or is on its way goes to the step of the
refit that comes first.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from partsvc.domain.desk import Desk
from partsvc.domain.ledger import Holding
from partsvc.domain.order_list import successor
from partsvc.domain.order_view import LiveLine
from partsvc.domain.places import STOCK, Condition
from partsvc.domain.plan import Position
from partsvc.domain.progress import not_in_place
from partsvc.domain.refit_list import RefitList, candidates

NO_PROMISE = "9999-12-31"


@dataclass(frozen=True, slots=True, kw_only=True)
class PartLacking:
    """How many pieces of a part a step lacks, and where they are to come from.

    `promised` is the day by which all that is on order for it is promised; empty without one.
    """

    part: str
    lacking: int
    in_store: int
    on_order: int
    promised: str
    late: bool

    @property
    def not_ordered(self) -> int:
        """How many are neither in the store nor on their way."""
        return self.lacking - self.in_store - self.on_order


@dataclass(slots=True)
class Coming:
    """What can still be given to a step: the store's shelf, and the order lines soonest first."""

    shelf: Counter[str]
    lines: dict[str, list[tuple[int, LiveLine]]]

    @classmethod
    def of(cls, desk: Desk, lines: Sequence[LiveLine]) -> Coming:
        """By the desk's own book of the shelf, and by what is outstanding on the order lines."""
        shelf: Counter[str] = Counter()
        for held in desk.book.at(STOCK):
            if held.spot.condition is Condition.NEW:
                shelf[successor(held.part, desk.parts)] += held.quantity
        found: dict[str, list[tuple[int, LiveLine]]] = defaultdict(list)
        for line in sorted(lines, key=lambda one: (one.promised or NO_PROMISE, one.id)):
            if line.outstanding:
                found[successor(line.what, desk.parts)].append((line.outstanding, line))
        return cls(shelf, found)

    def give(self, part: str, number: str, lacking: int) -> PartLacking:
        """Give a step so many, as far as there are; `number` is what is ordered today."""
        in_store = min(lacking, self.shelf[number])
        self.shelf[number] -= in_store
        wanted, given, promises, late = lacking - in_store, 0, set(), False
        left: list[tuple[int, LiveLine]] = []
        for quantity, line in self.lines.get(number, ()):
            take = min(wanted - given, quantity)
            given += take
            if take:
                promises.add(line.promised or NO_PROMISE)
                late = late or line.late
            if quantity > take:
                left.append((quantity - take, line))
        self.lines[number] = left
        last = max(promises, default=NO_PROMISE)
        return PartLacking(
            part=part,
            lacking=lacking,
            in_store=in_store,
            on_order=given,
            promised="" if last == NO_PROMISE else last,
            late=late,
        )


def lacking_parts(
    desk: Desk, refit: RefitList, coming: Coming
) -> Mapping[str, tuple[PartLacking, ...]]:
    """For each step of the refit, in its order, the parts that lie in no bag for it."""
    taken: Counter[Holding] = Counter()
    found: dict[str, tuple[PartLacking, ...]] = {}
    for line in refit.steps:
        lacking: Counter[str] = Counter()
        for position in desk.plan.step_of[line.id].positions:
            lacking += _lacking_at(desk, position, taken)
        if lacking:
            found[line.id] = tuple(
                coming.give(part, successor(part, desk.parts), quantity)
                for part, quantity in sorted(lacking.items())
            )
    return found


def _lacking_at(desk: Desk, position: Position, taken: Counter[Holding]) -> Counter[str]:
    lacking: Counter[str] = Counter()
    wanted_here = not_in_place(position, desk.book)
    put: Counter[str] = Counter()
    for item in sorted(position.stack, key=lambda one: one.rides):
        wanted = wanted_here[item.part] - item.along_with(put)
        for held in candidates(desk, position, item):
            covers = item.covered_by(held.part)
            free = held.quantity - taken[held]
            take = min(-(-wanted // covers), free)
            if take > 0:
                wanted -= take * covers
                put[held.part] += take
                taken[held] += take
        if wanted > 0:
            lacking[item.part] += wanted
    return lacking
