"""The strays of the bay, each held against all jobs it could be of."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from datetime import timedelta
from typing import Annotated

from partsvc.domain.accepted_numbers import accepting
from partsvc.domain.bay_strays import Candidate, Gap, could_be, gaps
from partsvc.domain.desk import WORKSHOP, Desk, shown_bag
from partsvc.domain.effects_between import StrayFound
from partsvc.domain.job_plan import begun, job_plan
from partsvc.domain.job_state import Happened, fold
from partsvc.domain.ledger import Book, Holding
from partsvc.domain.parts import is_stray
from partsvc.domain.plan import EMPTY
from partsvc.domain.records import Says
from partsvc.store import between
from partsvc.store.database import Row
from partsvc.work import clock
from partsvc.work.service import Service, parts_of, plan_from

# A job released no longer ago than this may still have lost the piece.
LATELY = timedelta(days=30)


@dataclass(frozen=True, slots=True, kw_only=True)
class CouldBe:
    """A place a stray could be missing from."""

    job: str
    job_number: int
    job_state: str
    kind: Annotated[str, Says("lost, short or missing-on-arrival there")]
    part: str
    called: str
    quantity: int
    step: str
    step_number: int
    position: str
    where: str
    why: Annotated[str, Says("what speaks for it, in words")]


@dataclass(frozen=True, slots=True, kw_only=True)
class BayStray:
    """A piece that was found in the bay and that nobody could place yet."""

    stray: Annotated[str, Says("what to call it when it is identified")]
    words: str
    bag: str
    quantity: int
    looks_like: str
    thread: str
    length_mm: int | None
    found_by: str
    found_at: str
    could_be: Annotated[tuple[CouldBe, ...], Says("the likeliest first")]


@dataclass(frozen=True, slots=True, kw_only=True)
class StraysShown:
    """The strays of the bay."""

    strays: tuple[BayStray, ...]
    jobs_compared: Annotated[int, Says("open jobs, and those released in the last 30 days")]


def strays(service: Service) -> StraysShown:
    """The strays of the bay, each with the places of all jobs it could be missing from."""
    with service.database.reading() as db:
        held = [
            one
            for one in between.in_bags(db, service.site, WORKSHOP)
            if is_stray(one.part) and one.quantity > 0
        ]
        said = {
            happened.effect.part: (happened, happened.effect)
            for happened in between.strays(db, service.site, WORKSHOP)
            if isinstance(happened.effect, StrayFound)
        }
        jobs = _jobs_at_hand(service, db) if held else []
        short = [gap for job in _desks(service, db, jobs) for gap in job]
        parts = parts_of(service, db)
        shown = [
            _shown(one, *said[one.part], could_be(said[one.part][1], short, parts))
            for one in held
            if one.part in said
        ]
    return StraysShown(
        strays=tuple(sorted(shown, key=lambda one: (one.found_at, one.stray))),
        jobs_compared=len(jobs),
    )


def _jobs_at_hand(service: Service, db: sqlite3.Connection) -> list[Row]:
    since = clock.stamp(service.now() - LATELY)
    return between.jobs_at_hand(db, service.site, released_since=since)


def _desks(service: Service, db: sqlite3.Connection, jobs: list[Row]) -> list[tuple[Gap, ...]]:
    """What each of these jobs is short of; read for all of them at once."""
    accounts = [job["id"] for job in jobs]
    texts = between.revision_texts(
        db, service.site, [(job["procedure"], job["revision"]) for job in jobs]
    )
    happened = between.effects_of(db, service.site, accounts)
    books = between.books_of(db, service.site, accounts)
    parts = parts_of(service, db)
    found = []
    for job in jobs:
        text = texts.get((job["procedure"], job["revision"]))
        own = happened.get(job["id"], ())
        effects = [item.effect for item in own]
        plan = job_plan(begun(plan_from(text)) if text else EMPTY, effects)
        desk = Desk(
            account=job["id"],
            plan=accepting(plan, effects, parts),
            state=fold(own),
            happened=tuple(own),
            book=Book(books.get(job["id"], ())),
            parts=parts,
        )
        found.append(gaps(desk, number=job["number"], state=job["state"]))
    return found


def _shown(
    held: Holding, happened: Happened, said: StrayFound, candidates: tuple[Candidate, ...]
) -> BayStray:
    return BayStray(
        stray=held.part,
        words=said.words,
        bag=shown_bag(held.spot.place.at),
        quantity=held.quantity,
        looks_like=said.looks_like,
        thread=said.thread,
        length_mm=said.length_mm,
        found_by=happened.by,
        found_at=happened.at,
        could_be=tuple(_could_be(one) for one in candidates),
    )


def _could_be(one: Candidate) -> CouldBe:
    gap = one.gap
    return CouldBe(
        job=gap.job,
        job_number=gap.job_number,
        job_state=gap.state,
        kind=gap.kind,
        part=gap.part,
        called=gap.called,
        quantity=gap.quantity,
        step=gap.step,
        step_number=gap.step_number,
        position=gap.position,
        where=gap.where,
        why=one.why,
    )
