"""What to order, why, how many and by when: before stripping, and again from what happened."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from partsvc.domain.desk import Desk
from partsvc.domain.job_facts import JobFacts
from partsvc.domain.ledger import Posted
from partsvc.domain.parts import Part, Rule, is_stray, is_unnamed, part_words
from partsvc.domain.places import (
    STOCK,
    Condition,
    Gate,
    PlaceKind,
    loose,
    missing,
    outside,
    own_hole,
    secured,
)
from partsvc.domain.plan import Phase, Position, StackItem, Step
from partsvc.domain.spares import breakage, spares, why

# Our own judgement: below one in forty, a spare lies in the way more often than it helps.
WORTH_A_SPARE = Fraction(1, 40)


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLine:
    """One part to order: how many are needed and as spare, what is there, and why."""

    part: str
    called: str
    instead_of: tuple[str, ...]
    needed: int
    spare: int
    in_stock: int
    in_bags: int
    on_order: int
    to_order: int
    pack_size: int
    packs: int
    why: tuple[str, ...]
    spare_why: str
    first_step: str
    first_step_number: int
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Consumable:
    """Sealant, threadlock or fluid that the steps ask for; never in the ledger."""

    what: str
    amount: str
    unit: str
    steps: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderList:
    """Everything the parts desk must have before refit starts."""

    job: JobFacts
    lines: tuple[OrderLine, ...]
    consumables: tuple[Consumable, ...]
    not_named: tuple[str, ...]


@dataclass(slots=True)
class _Want:
    """What is gathered for one part while going through the positions."""

    needed: int = 0
    reasons: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    may_break: int = 0
    first: tuple[int, str, int] | None = None
    instead_of: set[str] = field(default_factory=set)

    def add(self, quantity: int, reason: str, first: tuple[int, str, int]) -> None:
        self.needed += quantity
        self.reasons[reason] += quantity
        self.first = first if self.first is None else min(self.first, first)


@dataclass(frozen=True, slots=True)
class Supply:
    """What is there already or on its way, by part."""

    stock: Mapping[str, int]
    bags: Mapping[str, int]
    ordered: Mapping[str, int]

    def all_of(self, part: str) -> int:
        """How many in all."""
        return self.stock.get(part, 0) + self.bags.get(part, 0) + self.ordered.get(part, 0)


def order_list(
    job: JobFacts, desk: Desk, refit: Sequence[str], on_order: Mapping[str, int]
) -> OrderList:
    """The order of a job; `refit` is the refit order of its steps."""
    place = {name: number for number, name in enumerate(refit)}
    came_off = _came_off(desk.posted)
    wants: dict[str, _Want] = defaultdict(_Want)
    for step, position in desk.plan.each_position():
        first = (place.get(step.id, len(place)), step.id, step.number)
        for item in position.stack:
            _gather(desk, position, item, first, came_off, wants[item.part])
    named = _by_successor(wants, desk.parts)
    supply = Supply(*_supply(desk), on_order)
    seen = _seen_by_kind(desk)
    lines = [_line(desk, job, part, want, supply, seen) for part, want in named.items()]
    lines.sort(key=lambda pair: pair[0])
    return OrderList(
        job=job,
        lines=tuple(line for _, line in lines if line.needed or line.spare or line.to_order),
        consumables=_consumables(desk.plan.steps),
        not_named=tuple(
            sorted(
                position.where
                for _, position in desk.plan.each_position()
                if any(is_unnamed(item.part) for item in position.stack)
            )
        ),
    )


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


def _gather(
    desk: Desk,
    position: Position,
    item: StackItem,
    first: tuple[int, str, int],
    came_off: Mapping[tuple[str, str], int],
    want: _Want,
) -> None:
    planned = position.sets * item.per_set
    in_place = [
        held
        for place in (secured(position.id), loose(position.id))
        for held in desk.book.at(place, item.part)
    ]
    if item.rule is Rule.REPLACE:
        renewed = sum(held.quantity for held in in_place if held.spot.lot != position.id)
        if planned > renewed:
            want.add(planned - renewed, "single-use", first)
        return
    good_in_bags = _home_pieces(desk, position, item, damaged=False)
    short = planned - sum(held.quantity for held in in_place) - good_in_bags
    for reason, quantity in _why_short(desk, position, item):
        take = min(short, quantity)
        if take > 0:
            want.add(take, reason, first)
            short -= take
    if short > 0:
        want.add(short, "no longer there", first)
    still_on = max(0, planned - came_off.get((position.id, item.part), 0))
    want.may_break += still_on + good_in_bags


def _home_pieces(desk: Desk, position: Position, item: StackItem, *, damaged: bool) -> int:
    """Pieces of a position in bags, in their own hole or serving as a tool, good or damaged."""
    bagged = [
        held
        for kind in (PlaceKind.BAG, PlaceKind.ON_VEHICLE)
        for held in desk.book.lying(item.part, kind)
        if held.spot.lot == position.id
    ]
    in_hole = desk.book.at(own_hole(position.id), item.part)
    return sum(
        held.quantity
        for held in (*bagged, *in_hole)
        if (held.spot.condition is Condition.DAMAGED) is damaged
    )


def _why_short(desk: Desk, position: Position, item: StackItem) -> list[tuple[str, int]]:
    lost = sum(
        held.quantity
        for held in desk.book.lying(item.part, PlaceKind.LOST)
        if held.spot.lot == position.id
    )
    return [
        ("broke", _home_pieces(desk, position, item, damaged=True)),
        ("missing on arrival", desk.book.count(missing(position.id), item.part)),
        ("lost", lost),
    ]


def _by_successor(wants: Mapping[str, _Want], parts: Mapping[str, Part]) -> dict[str, _Want]:
    """The same wants under the numbers that can be ordered today; supersession is shown."""
    found: dict[str, _Want] = {}
    for part, want in wants.items():
        today = successor(part, parts)
        into = found.setdefault(today, _Want())
        into.needed += want.needed
        into.may_break += want.may_break
        for reason, quantity in want.reasons.items():
            into.reasons[reason] += quantity
        firsts = [one for one in (into.first, want.first) if one is not None]
        into.first = min(firsts) if firsts else None
        if today != part:
            into.instead_of.add(part)
    return found


def successor(part: str, parts: Mapping[str, Part]) -> str:
    """The number that takes a part's place today; itself if none does, or if they run in a ring."""
    seen = {part}
    while part in parts and parts[part].superseded_by:
        following = parts[part].superseded_by
        if following in seen:
            return part
        seen.add(following)
        part = following
    return part


def _supply(desk: Desk) -> tuple[Mapping[str, int], Mapping[str, int]]:
    """New pieces in the store and in this job's bags, under the numbers of today."""
    stock: dict[str, int] = defaultdict(int)
    bags: dict[str, int] = defaultdict(int)
    for held in desk.book.holdings():
        if held.spot.condition is not Condition.NEW or held.quantity < 1:
            continue
        today = successor(held.part, desk.parts)
        if held.spot.place == STOCK:
            stock[today] += held.quantity
        elif held.spot.place.kind is PlaceKind.BAG:
            bags[today] += held.quantity
    return stock, bags


def _seen_by_kind(desk: Desk) -> Mapping[str, tuple[int, int]]:
    """For each kind of part, how many came off on this job so far and how many of them broke."""
    total: dict[str, int] = defaultdict(int)
    broken: dict[str, int] = defaultdict(int)
    for posted in desk.posted:
        entry = posted.entry
        part = desk.parts.get(entry.part)
        if part is None or entry.source.place.kind is not PlaceKind.SECURED:
            continue
        total[part.kind] += entry.quantity
        if entry.target.condition is Condition.DAMAGED:
            broken[part.kind] += entry.quantity
    return {kind: (broken[kind], total[kind]) for kind in total}


def _spare(kind: str, may_break: int, broken: int, total: int) -> int:
    """Spares for what is likely to break; what hardly ever does is ordered when it has."""
    prior = breakage(kind).prior
    if not may_break or prior.seen(broken, total).mean < WORTH_A_SPARE:
        return 0
    return spares(may_break, seen_broken=broken, seen_total=total, prior=prior)


def _line(
    desk: Desk,
    job: JobFacts,
    part: str,
    want: _Want,
    supply: Supply,
    seen: Mapping[str, tuple[int, int]],
) -> tuple[tuple[int, str], OrderLine]:
    facts = desk.parts.get(part)
    kind = facts.kind.value if facts else "other"
    broken, total = seen.get(kind, (0, 0))
    nameless = is_stray(part) or is_unnamed(part)
    spare = 0 if nameless else _spare(kind, want.may_break, broken, total)
    lacking = 0 if nameless else max(0, want.needed + spare - supply.all_of(part))
    pack = facts.pack_size if facts else 1
    packs = -(-lacking // pack)
    first = want.first or (10**6, "", 0)
    line = OrderLine(
        part=part,
        called=part_words(part, facts),
        instead_of=tuple(sorted(want.instead_of)),
        needed=want.needed,
        spare=spare,
        in_stock=supply.stock.get(part, 0),
        in_bags=supply.bags.get(part, 0),
        on_order=supply.ordered.get(part, 0),
        to_order=packs * pack,
        pack_size=pack,
        packs=packs,
        why=tuple(f"{quantity} {reason}" for reason, quantity in want.reasons.items()),
        spare_why=why(want.needed, spare, kind=kind, seen_broken=broken, seen_total=total)
        if spare
        else "",
        first_step=first[1],
        first_step_number=first[2],
        by=job.needed_by,
    )
    return (first[0], part), line


def _consumables(steps: Sequence[Step]) -> tuple[Consumable, ...]:
    """Amounts of each sealant, threadlock or fluid, added up over the steps that name a number."""
    amounts: dict[tuple[str, str], Decimal] = defaultdict(Decimal)
    where: dict[tuple[str, str], list[int]] = defaultdict(list)
    for step in steps:
        for one in step.applications:
            if one.when is not Phase.STRIP:
                amounts[one.what, one.unit] += Decimal(one.amount or 0)
                where[one.what, one.unit].append(step.number)
    return tuple(
        Consumable(
            what=what,
            amount=str(amount) if amount else "",
            unit=unit,
            steps=tuple(where[what, unit]),
        )
        for (what, unit), amount in amounts.items()
    )
