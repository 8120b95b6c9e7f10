"""Opens a job: its account, and everything the plan says is on the vehicle, let in by the gate."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Mapping

from partsvc.domain.canonical import CHAIN_START
from partsvc.domain.desk import Doing, Drafted
from partsvc.domain.effects import Effect
from partsvc.domain.ledger import Entry, Spot
from partsvc.domain.places import Condition, Gate, outside, secured
from partsvc.domain.plan import EMPTY, Phase, Plan
from partsvc.domain.records import Plain
from partsvc.errors import NotFound
from partsvc.store import acts as act_store
from partsvc.store import keeping
from partsvc.store.database import Row
from partsvc.work import clock
from partsvc.work.facts import job_row
from partsvc.work.numbers_before import numbers_before
from partsvc.work.recording import append
from partsvc.work.service import Sender, Service, plan_from
from partsvc.work.uses_before import uses_before


def open_job(
    service: Service,
    sender: Sender,
    *,
    title: str,
    vehicle: str = "",
    procedure: str = "",
    revision: int | None = None,
    needed_by: str = "",
    db: sqlite3.Connection | None = None,
) -> str:
    """Open a job on a procedure revision, or on none; answers its id."""
    if db is None:
        with service.database.writing() as own:
            return open_job(
                service,
                sender,
                title=title,
                vehicle=vehicle,
                procedure=procedure,
                revision=revision,
                needed_by=needed_by,
                db=own,
            )
    plan, number = _pinned(service, db, procedure, revision)
    if vehicle and keeping.vehicle(db, service.site, vehicle) is None:
        raise NotFound(f"There is no vehicle {vehicle}. Add it first.", vehicle=vehicle)
    job = clock.new_id("j")
    add_empty_job(
        service,
        db,
        job,
        title=title,
        vehicle=vehicle,
        procedure=procedure,
        revision=number,
        needed_by=needed_by,
    )
    before = numbers_before(service, db, vehicle, procedure, plan)
    before += uses_before(service, db, job, vehicle, procedure, plan)
    said: dict[str, Plain] = {"procedure": procedure, "revision": number}
    post_opening(service, db, job, sender, entries=opening(job, plan), effects=before, said=said)
    return job


def add_empty_job(
    service: Service,
    db: sqlite3.Connection,
    job: str,
    *,
    title: str,
    vehicle: str,
    procedure: str,
    revision: int,
    needed_by: str,
) -> None:
    """A job of this id with an account that nothing is in yet."""
    act_store.add_account(db, service.site, job, kind="job", start=CHAIN_START)
    keeping.add_job(
        db,
        service.site,
        ident=job,
        number=keeping.next_job_number(db, service.site),
        title=title,
        vehicle_id=vehicle,
        procedure=procedure,
        revision_number=revision,
        needed_by=needed_by,
        at=service.stamp(),
    )


def _pinned(
    service: Service, db: sqlite3.Connection, procedure: str, revision: int | None
) -> tuple[Plan, int]:
    if not procedure:
        return EMPTY, 0
    row = keeping.revision(db, service.site, procedure, revision)
    if row is None:
        which = f" in revision {revision}" if revision else ""
        raise NotFound(
            f"There is no procedure {procedure}{which}. Import it first, or open the job without "
            "a procedure.",
            procedure=procedure,
        )
    return plan_from(row["text"]), row["number"]


def post_opening(
    service: Service,
    db: sqlite3.Connection,
    job: str,
    sender: Sender,
    *,
    entries: Iterable[Entry],
    effects: Iterable[Effect],
    said: Mapping[str, Plain],
) -> None:
    """The first act of a job: what is on the vehicle, and what is known of it already."""
    key = clock.new_key()
    at = service.stamp()
    append(
        service,
        db,
        account=job,
        doing=Doing(
            key=key,
            kind="open",
            by=sender.person,
            recorded_by=sender.person,
            roles=sender.roles,
            at=at,
        ),
        drafted=Drafted(entries=tuple(entries), effects=tuple(effects), warnings=()),
        sent_by=sender.device,
        received_at=at,
        payload={"key": key, "kind": "open", **said},
    )


def opening(account: str, plan: Plan) -> Iterable[Entry]:
    """All that the plan says is on the vehicle, each piece at home in its position."""
    for step, position in plan.each_position():
        if step.phase is Phase.REFIT:
            continue
        # Where the count is as found, the pieces come in when somebody says how many there were.
        for item in () if position.as_found else position.stack:
            gate = Spot(account, outside(Gate.OPENING), Condition.USED, position.id)
            home = Spot(account, secured(position.id), Condition.USED, position.id)
            yield Entry(item.part, position.sets * item.per_set, gate, home)


def find_job(service: Service, job: str) -> Row:
    """One job, or NotFound."""
    with service.database.reading() as db:
        return job_row(service, db, job)


def jobs_page(service: Service, *, state: str, before: int, limit: int) -> list[Row]:
    """A page of jobs, newest first."""
    with service.database.reading() as db:
        return keeping.jobs(db, service.site, state=state, before=before, limit=limit)
