"""What the parts desk needs at hand to lay a kit out: what is still to be issued, and the kits."""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.job_facts import JobFacts
from partsvc.domain.look import alike_among, called
from partsvc.domain.order_list import OrderLine
from partsvc.domain.parts import Part, is_stray, is_unnamed
from partsvc.domain.places import Condition, PlaceKind
from partsvc.domain.tag_kinds import TagKind
from partsvc.store import keeping
from partsvc.work.facts import job_desk, job_row
from partsvc.work.job_view import job_facts
from partsvc.work.ordering import order_of
from partsvc.work.service import Service


@dataclass(frozen=True, slots=True, kw_only=True)
class ToIssue:
    """New pieces that the refit wants and that are in no bag yet; `ready` of them are there.

    `bag` numbers the bags from 1: what would be taken for each other goes into different ones.
    """

    part: str
    called: str
    quantity: int
    ready: int
    in_store: int
    on_order: int
    step_number: int
    why: tuple[str, ...]
    bag: int = 1
    confused_with: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class InKit:
    """So many of one part in a kit; `new` ones may still go back to the store."""

    part: str
    called: str
    quantity: int
    new: int


@dataclass(frozen=True, slots=True, kw_only=True)
class KitBag:
    """A kit bag or an old-parts bag of the job, with what is in it by the book."""

    code: str
    shown: str
    kind: str
    pieces: tuple[InKit, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class KitBench:
    """A job as whoever lays out its kits needs it."""

    job: JobFacts
    to_issue: tuple[ToIssue, ...]
    kits: tuple[KitBag, ...]
    old_parts: tuple[KitBag, ...]


def kit_bench(service: Service, job: str) -> KitBench:
    """What is still to be issued on a job, the first steps of the refit first, and its kits."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        order = order_of(service, db, row)
        desk = job_desk(service, db, row)
        bags = _bags(service, db, desk)
    wanted = [_to_issue(line) for line in order.lines if not _nameless(line)]
    return KitBench(
        job=job_facts(row),
        to_issue=kept_apart([one for one in wanted if one.quantity], desk.parts),
        kits=tuple(one for one in bags if one.kind == TagKind.KIT),
        old_parts=tuple(one for one in bags if one.kind == TagKind.OLD_PARTS),
    )


def _nameless(line: OrderLine) -> bool:
    return is_stray(line.part) or is_unnamed(line.part)


def _to_issue(line: OrderLine) -> ToIssue:
    # A spare stays in the store until something breaks; what comes in a kit comes with the kit.
    wanted = 0 if line.comes_in else max(0, line.needed - line.in_bags)
    return ToIssue(
        part=line.part,
        called=line.called,
        quantity=wanted,
        ready=min(wanted, line.in_stock),
        in_store=line.in_stock,
        on_order=line.on_order,
        step_number=line.first_step_number,
        why=line.why,
    )


def kept_apart(wanted: Sequence[ToIssue], parts: Mapping[str, Part]) -> tuple[ToIssue, ...]:
    """The same, in so many bags that no two in one are easily confused; what is there goes first.

    What would be confused with nothing goes into the first bag.
    """
    placed = {one.part: one for one in wanted}
    for group in alike_among(placed, parts):
        turn = sorted((one for one in wanted if one.part in group), key=lambda one: not one.ready)
        for bag, one in enumerate(turn, start=1):
            others = tuple(sorted(placed[part].called for part in group - {one.part}))
            placed[one.part] = replace(one, bag=bag, confused_with=others)
    return tuple(placed.values())


def _bags(service: Service, db: sqlite3.Connection, desk: Desk) -> list[KitBag]:
    """The special bags of a job: those in use, and those printed for it and still empty."""
    kinds = {
        tag["code"]: desk.state.tags.get(tag["code"], tag["kind"])
        for tag in keeping.tags_of_job(db, service.site, desk.account)
        if not tag["void_reason"]
    }
    held = _held(desk)
    return [
        KitBag(code=code, shown=shown_bag(code), kind=kind, pieces=held.get(code, ()))
        for code, kind in kinds.items()
        if kind in (TagKind.KIT, TagKind.OLD_PARTS)
    ]


def _held(desk: Desk) -> Mapping[str, tuple[InKit, ...]]:
    """What lies in each bag, by part."""
    found: dict[str, dict[str, list[int]]] = defaultdict(lambda: defaultdict(lambda: [0, 0]))
    for one in desk.book.holdings():
        if one.quantity > 0 and one.spot.place.kind is PlaceKind.BAG:
            count = found[one.spot.place.at][one.part]
            count[0] += one.quantity
            count[1] += one.quantity if one.spot.condition is Condition.NEW else 0
    return {
        code: tuple(
            InKit(part=part, called=called(desk, part), quantity=all_, new=new)
            for part, (all_, new) in sorted(parts.items())
        )
        for code, parts in found.items()
    }
