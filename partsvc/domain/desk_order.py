"""What to order now across all open jobs: the shelf shared out by the day each vehicle is needed.

Each job by itself may count on the whole shelf; together they cannot. So the job that is needed
first takes what it wants, the next what is left; a vehicle without a day comes last.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from partsvc.domain.job_facts import JobFacts
from partsvc.domain.ledger import Holding
from partsvc.domain.order_lines import NOTHING, plain
from partsvc.domain.order_list import Consumable, OrderLine, OrderList, successor
from partsvc.domain.order_view import LiveLine
from partsvc.domain.parts import Part, part_words
from partsvc.domain.places import STOCK

NO_DAY = "9999-12-31"


@dataclass(frozen=True, slots=True, kw_only=True)
class JobNeed:
    """How many of a part one job needs, what of it the shelf has for it, and what is coming."""

    job: str
    job_number: int
    title: str
    needed_by: str
    first_step_number: int
    needed: int
    spare: int
    in_bags: int
    from_stock: int
    on_order: int
    lacking: int
    why: tuple[str, ...]
    live: tuple[LiveLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DeskLine:
    """One part to order for all jobs together, by the first day on which one lacks it."""

    part: str
    called: str
    by: str
    lacking: int
    to_order: int
    packs: int
    pack_size: int
    on_order: int
    late: bool
    jobs: tuple[JobNeed, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ConsumableNeed:
    """How much of a consumable one job needs."""

    job: str
    job_number: int
    needed_by: str
    amount: str
    to_order: str
    steps: tuple[int, ...]
    live: tuple[LiveLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DeskConsumable:
    """One consumable to order for all jobs together."""

    what: str
    unit: str
    by: str
    to_order: str
    jobs: tuple[ConsumableNeed, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DeskOrder:
    """What to order now across all open jobs, soonest first, with what is on its way.

    `also_ordered` are order lines of what their job has no use for by its plan as it stands.
    """

    lines: tuple[DeskLine, ...]
    consumables: tuple[DeskConsumable, ...]
    also_ordered: tuple[LiveLine, ...] = ()


def in_turn(jobs: Sequence[JobFacts]) -> list[JobFacts]:
    """The jobs in the order in which they may take from the shelf."""
    return sorted(jobs, key=lambda job: (job.needed_by or NO_DAY, job.number))


def wants_from_shelf(line: OrderLine) -> int:
    """How many of a line's pieces are meant to come off the shelf."""
    open_yet = line.needed + line.spare - line.in_bags - line.on_order
    return max(0, min(line.in_stock, open_yet))


def left_on_shelf(
    shelf: Sequence[Holding],
    order: OrderList,
    parts: Mapping[str, Part],
    *,
    came_for: Collection[tuple[str, str]],
) -> list[Holding]:
    """What is left for the jobs after this one; what came for it (lot and part) goes first."""
    wanted = {line.part: wants_from_shelf(line) for line in order.lines}
    left = []

    def rank(held: Holding) -> tuple[object, ...]:
        return ((held.spot.lot, held.part) not in came_for, held.part, held.spot)

    for held in sorted(shelf, key=rank):
        today = successor(held.part, parts)
        take = min(held.quantity, wanted.get(today, 0)) if held.spot.place == STOCK else 0
        if take:
            wanted[today] -= take
        left.append(replace(held, quantity=held.quantity - take))
    return [held for held in left if held.quantity]


def desk_order(orders: Sequence[OrderList], parts: Mapping[str, Part]) -> DeskOrder:
    """The orders of all jobs, each made with what the shelf had left for it, as one."""
    needs: dict[str, list[JobNeed]] = defaultdict(list)
    amounts: dict[tuple[str, str], list[ConsumableNeed]] = defaultdict(list)
    for order in orders:
        for line in order.lines:
            if line.lacking or any(one.outstanding for one in line.live):
                needs[line.part].append(_need(order.job, line))
        for one in order.consumables:
            if one.to_order or one.on_order:
                amounts[one.what, one.unit].append(_amount(order.job, one))
    lines = [_desk_line(part, found, parts.get(part)) for part, found in needs.items()]
    consumables = [_desk_consumable(*what, found) for what, found in amounts.items()]
    return DeskOrder(
        lines=tuple(sorted(lines, key=lambda one: (one.by or NO_DAY, one.part))),
        consumables=tuple(sorted(consumables, key=lambda one: (one.by or NO_DAY, one.what))),
        also_ordered=tuple(
            live
            for order in orders
            for live in order.also_ordered
            if live.outstanding or _rest(live)
        ),
    )


def _rest(live: LiveLine) -> bool:
    """Whether some of a consumable has not come."""
    return live.amount_outstanding not in ("", "0")


def _need(job: JobFacts, line: OrderLine) -> JobNeed:
    return JobNeed(
        job=job.id,
        job_number=job.number,
        title=job.title,
        needed_by=job.needed_by,
        first_step_number=line.first_step_number,
        needed=line.needed,
        spare=line.spare,
        in_bags=line.in_bags,
        from_stock=wants_from_shelf(line),
        on_order=line.on_order,
        lacking=line.lacking,
        why=line.why,
        live=line.live,
    )


def _first_day(days: Sequence[tuple[bool, str]]) -> str:
    """The first day on which somebody lacks it; on which it is wanted, if nobody does."""
    lacking = [day or NO_DAY for lacks, day in days if lacks]
    first = min(lacking or [day or NO_DAY for _, day in days])
    return "" if first == NO_DAY else first


def _desk_line(part: str, jobs: Sequence[JobNeed], facts: Part | None) -> DeskLine:
    lacking = sum(one.lacking for one in jobs)
    pack = facts.pack_size if facts else 1
    packs = -(-lacking // pack)
    return DeskLine(
        part=part,
        called=part_words(part, facts),
        by=_first_day([(bool(one.lacking), one.needed_by) for one in jobs]),
        lacking=lacking,
        to_order=packs * pack,
        packs=packs,
        pack_size=pack,
        on_order=sum(one.on_order for one in jobs),
        late=any(live.late for one in jobs for live in one.live),
        jobs=tuple(jobs),
    )


def _amount(job: JobFacts, one: Consumable) -> ConsumableNeed:
    return ConsumableNeed(
        job=job.id,
        job_number=job.number,
        needed_by=job.needed_by,
        amount=one.amount,
        to_order=one.to_order,
        steps=one.steps,
        live=one.live,
    )


def _desk_consumable(what: str, unit: str, jobs: Sequence[ConsumableNeed]) -> DeskConsumable:
    total = sum((Decimal(one.to_order or NOTHING) for one in jobs), NOTHING)
    return DeskConsumable(
        what=what,
        unit=unit,
        by=_first_day([(bool(one.to_order), one.needed_by) for one in jobs]),
        to_order=plain(total) if total else "",
        jobs=tuple(jobs),
    )
