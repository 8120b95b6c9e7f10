"""What to order, why, how many and by when: before stripping, and again from what happened."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from partsvc.domain.desk import Desk
from partsvc.domain.job_facts import JobFacts
from partsvc.domain.order_kits import kit_of, kits_wanted
from partsvc.domain.order_view import LiveLine
from partsvc.domain.order_wants import Supply, Want, successor, supply_of, wants
from partsvc.domain.parts import is_stray, is_unnamed, part_words
from partsvc.domain.places import Condition, PlaceKind
from partsvc.domain.plan import Phase, Step
from partsvc.domain.spares import breakage, spares, why

__all__ = ["Consumable", "OrderLine", "OrderList", "order_list", "successor"]

# Our own judgement: below one in forty, a spare lies in the way more often than it helps.
WORTH_A_SPARE = Fraction(1, 40)


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLine:
    """One part to order: how many are needed and as spare, what is there, and why.

    `on_order` is what was asked for or ordered and has not come; `live` are its order lines. What
    `comes_in` a kit is not ordered by itself: the kit has a line of its own. `to_order` is what is
    `lacking`, in whole packs.
    """

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
    state: str = ""
    live: tuple[LiveLine, ...] = ()
    comes_in: str = ""
    lacking: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Consumable:
    """Sealant, threadlock or fluid that the steps ask for; never in the ledger."""

    what: str
    amount: str
    unit: str
    steps: tuple[int, ...]
    on_order: str = ""
    to_order: str = ""
    state: str = ""
    live: tuple[LiveLine, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderList:
    """Everything the parts desk must have before refit starts.

    `also_ordered` are order lines of what this job has no use for by its plan as it stands.
    """

    job: JobFacts
    lines: tuple[OrderLine, ...]
    consumables: tuple[Consumable, ...]
    not_named: tuple[str, ...]
    also_ordered: tuple[LiveLine, ...] = ()


def order_list(
    job: JobFacts, desk: Desk, refit: Sequence[str], on_order: Mapping[str, int]
) -> OrderList:
    """The order of a job; `refit` is the refit order of its steps."""
    place = {name: number for number, name in enumerate(refit)}
    supply = supply_of(desk, on_order)
    found = wants(desk, place, supply)
    seen = _seen_by_kind(desk)
    spare = {part: _spare_of(desk, part, want, seen) for part, want in found.items()}
    lacking = {
        part: max(0, want.needed + spare[part] - supply.all_of(part))
        for part, want in found.items()
    }
    for kit, want in kits_wanted(found, lacking, desk.parts).items():
        found[kit].join(want)
        lacking[kit] = max(0, found[kit].needed - supply.all_of(kit))
    lines = [
        _line(desk, job, part, want, supply, seen, spare.get(part, 0), lacking[part])
        for part, want in found.items()
    ]
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


def _nameless(part: str) -> bool:
    return is_stray(part) or is_unnamed(part)


def _spare_of(desk: Desk, part: str, want: Want, seen: Mapping[str, tuple[int, int]]) -> int:
    facts = desk.parts.get(part)
    kind = facts.kind.value if facts else "other"
    return 0 if _nameless(part) else _spare(kind, want.may_break, *seen.get(kind, (0, 0)))


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
    want: Want,
    supply: Supply,
    seen: Mapping[str, tuple[int, int]],
    spare: int,
    lacking: int,
) -> tuple[tuple[int, str], OrderLine]:
    facts = desk.parts.get(part)
    kind = facts.kind.value if facts else "other"
    broken, total = seen.get(kind, (0, 0))
    comes_in = kit_of(part, desk.parts)
    if comes_in or _nameless(part):
        lacking = 0
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
        comes_in=comes_in,
        lacking=lacking,
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
