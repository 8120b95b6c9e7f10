"""Jobs as they are opened, found, listed and renamed; what is on them is in the ledger."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from partsvc.domain.records import Between, Day, Id, Line, Says
from partsvc.errors import Stale
from partsvc.store import keeping, permits
from partsvc.store.database import Row
from partsvc.work.facts import job_row
from partsvc.work.openings import open_job
from partsvc.work.service import Sender, Service
from partsvc.work.taking_over import Takeover, come_in, let_go

# What is asked for before any number: higher than any job's.
NEWEST = 2**53 - 1


class JobState(StrEnum):
    """Whether a job is worked on."""

    OPEN = "open"
    RELEASED = "released"
    HANDED_OVER = "handed-over"


@dataclass(frozen=True, slots=True, kw_only=True)
class NewJob:
    """A job to open: on a procedure's revision (the newest if not said), or on none at all."""

    title: Line
    vehicle: Annotated[Id | None, Says("the vehicle, by its id here")] = None
    procedure: Annotated[Id | None, Says("none: the record is made while stripping")] = None
    revision: Annotated[int | None, Between(1, 999_999)] = None
    needed_by: Annotated[Day | None, Says("the day the vehicle is needed")] = None
    takes_over: Annotated[
        Id | None, Says("a job of this vehicle that was handed over incomplete: all of it goes on")
    ] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class JobChange:
    """What can be changed on a job beside its ledger; what is left out stays."""

    title: Line | None = None
    needed_by: Day | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class JobStanding:
    """Where a job stands: its number, its state, and the head of its ledger."""

    id: str
    number: int
    title: str
    state: JobState
    vehicle: str
    vin: str
    model: str
    procedure: str
    revision: int
    needed_by: str
    opened_at: str
    head_seq: Annotated[int, Says("the number of its newest act")]
    head: Annotated[str, Says("the hash of its newest act")]
    stopped: Annotated[bool, Says("a high-voltage safeguard was gone past: no work until judged")]
    version: int
    takes_over: Annotated[str, Says("the job whose remains it began with")] = ""
    taken_over_by: Annotated[str, Says("the job that took over what was left of it")] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobsWanted:
    """Which jobs are asked for, newest first."""

    state: JobState | None = None
    cursor: Annotated[int, Between(1, NEWEST), Says("from the Link of the page before")] = NEWEST
    limit: Annotated[int, Between(1, 200)] = 50


@dataclass(frozen=True, slots=True, kw_only=True)
class JobsPage:
    """A page of jobs."""

    jobs: tuple[JobStanding, ...]


def let_go_first(service: Service, sender: Sender, given: NewJob) -> None:
    """Let everything out of a job that is to be taken over, before the new one is opened."""
    wanted = _takeover(given)
    if wanted is not None:
        let_go(service, sender, wanted)


def _takeover(given: NewJob) -> Takeover | None:
    if given.takes_over is None:
        return None
    return Takeover(
        old=given.takes_over,
        title=given.title,
        vehicle=given.vehicle or "",
        procedure=given.procedure or "",
        revision=given.revision,
        needed_by=given.needed_by or "",
    )


def start(service: Service, db: sqlite3.Connection, sender: Sender, given: NewJob) -> JobStanding:
    """Open a job; one that takes over another goes on where that one ended."""
    wanted = _takeover(given)
    if wanted is not None:
        return _standing(job_row(service, db, come_in(service, db, sender, wanted)), frozenset())
    job = open_job(
        service,
        sender,
        title=given.title,
        vehicle=given.vehicle or "",
        procedure=given.procedure or "",
        revision=given.revision,
        needed_by=given.needed_by or "",
        db=db,
    )
    return _standing(job_row(service, db, job), frozenset())


def standing(service: Service, job: str) -> JobStanding:
    """Where a job stands; NotFound if there is none of that id."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        return _standing(row, permits.stopped_jobs(db, service.site))


def page(service: Service, wanted: JobsWanted) -> JobsPage:
    """A page of jobs, newest first."""
    state = wanted.state.value if wanted.state else ""
    with service.database.reading() as db:
        rows = keeping.jobs(db, service.site, state=state, before=wanted.cursor, limit=wanted.limit)
        stopped = permits.stopped_jobs(db, service.site)
    return JobsPage(jobs=tuple(_standing(row, stopped) for row in rows))


def change(
    service: Service, db: sqlite3.Connection, found: JobStanding, given: JobChange
) -> JobStanding:
    """Give a job another title or day; Stale if somebody else did meanwhile."""
    done = keeping.change_job(
        db,
        service.site,
        ident=found.id,
        version=found.version,
        title=given.title or found.title,
        needed_by=given.needed_by or found.needed_by,
    )
    if not done:
        raise Stale("The job was changed meanwhile. Fetch it again.", job=found.id)
    row = job_row(service, db, found.id)
    return _standing(row, permits.stopped_jobs(db, service.site))


def _standing(row: Row, stopped: frozenset[str]) -> JobStanding:
    return JobStanding(
        id=row["id"],
        number=row["number"],
        title=row["title"],
        state=JobState(row["state"]),
        vehicle=row["vehicle"],
        vin=row["vin"],
        model=row["model"],
        procedure=row["procedure"],
        revision=row["revision"],
        needed_by=row["needed_by"],
        opened_at=row["opened_at"],
        head_seq=row["head_seq"],
        head=row["head"],
        stopped=row["id"] in stopped,
        version=row["version"],
        takes_over=row["takes_over"],
        taken_over_by=row["taken_over_by"],
    )
