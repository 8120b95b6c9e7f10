"""The bags of a job, as somebody stands before them: full, emptied, counted otherwise, or lost."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from partsvc.domain.checks_elsewhere import bags_not_seen_empty, counts_that_differ
from partsvc.domain.checks_position import Explained
from partsvc.domain.desk import Desk
from partsvc.domain.findings import Finding
from partsvc.domain.gates import place_words
from partsvc.domain.look import called
from partsvc.domain.losses import losses
from partsvc.domain.open_bags import OpenBag, OpenBags
from partsvc.domain.open_bags import open_bags as all_open
from partsvc.domain.people_words import named
from partsvc.work.bench import TagAtHand, tags_at_hand
from partsvc.work.facts import job_desk, job_row
from partsvc.work.facts_of_bags import with_pockets
from partsvc.work.job_view import job_facts
from partsvc.work.open_bags import bags_moved
from partsvc.work.service import Service


@dataclass(frozen=True, slots=True, kw_only=True)
class Lost:
    """Pieces that nobody can find: what, how many, where they were last, and their home."""

    part: str
    called: str
    quantity: int
    last: str
    lot: str
    position: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BagsBench:
    """The open bags, and what about bags waits for somebody.

    `empty` are those nobody looked into since they were emptied, `counts` those that differ from
    the book, each with the key of its act as `lot`. `zones` are the zones of a bag's steps.
    """

    bags: OpenBags
    empty: tuple[Finding, ...]
    counts: tuple[Finding, ...]
    lost: tuple[Lost, ...]
    zones: Mapping[str, tuple[str, ...]]
    people: Mapping[str, str]
    tags: dict[str, TagAtHand]


def bags_bench(service: Service, job: str) -> BagsBench:
    """All that somebody who looks after the bags of a job has to know."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        desk = with_pockets(service, db, job_desk(service, db, row, look_back=True))
        found = all_open(job_facts(row), desk, bags_moved(service, db, job))
        return BagsBench(
            bags=found,
            empty=tuple(bags_not_seen_empty(desk, Explained())),
            counts=tuple(counts_that_differ(desk, Explained())),
            lost=tuple(_lost(desk)),
            zones={one.code: _zones(desk, one) for one in found.bags},
            people=desk.names,
            tags=tags_at_hand(service, db, row, desk),
        )


def _zones(desk: Desk, one: OpenBag) -> tuple[str, ...]:
    steps = (desk.plan.step_of[item.step] for item in one.contents if item.step)
    return tuple(dict.fromkeys(step.zone for step in steps if step.zone))


def _lost(desk: Desk) -> Iterable[Lost]:
    for one in losses(desk):
        yield Lost(
            part=one.part,
            called=called(desk, one.part),
            quantity=one.quantity,
            last=named(place_words(one.last), desk.names),
            lot=one.lot,
            position=one.lot if one.lot in desk.plan.positions else "",
        )
