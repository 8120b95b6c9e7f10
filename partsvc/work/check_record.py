"""The record of a job for whoever looks into it: people, refused acts, custody, vehicle, ledger."""

from __future__ import annotations

import io
from dataclasses import dataclass

from partsvc.domain.custody_list import CustodyList, custody_list
from partsvc.domain.endings import last_hand_over
from partsvc.domain.job_facts import JobFacts
from partsvc.domain.ledger_file import Verified, verify_lines
from partsvc.domain.people_on_job import DoneByOne, PersonOnJob, people_on_job
from partsvc.domain.trail_words import ACT_WORDS
from partsvc.store import acts as act_store
from partsvc.store import trails
from partsvc.work import ledger_reading, vehicle_records
from partsvc.work.facts import job_desk, job_row
from partsvc.work.job_view import job_facts
from partsvc.work.ledger_reading import RefusedShown, RefusedWanted
from partsvc.work.service import Service
from partsvc.work.vehicle_records import VehicleRecord

_MOST_REFUSED = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class RefusedAtCheck:
    """A refused act with its people by name, and what it was, in words."""

    shown: RefusedShown
    title: str
    by: str
    ended_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JobRecord:
    """All that stands on record of a job beside its account."""

    job: JobFacts
    vehicle: str
    people: tuple[PersonOnJob, ...]
    refused: tuple[RefusedAtCheck, ...]
    more_refused: bool
    custody: CustodyList
    of_vehicle: VehicleRecord | None
    names: dict[str, str]
    released_before: bool
    handed_over_before: bool


def job_record(service: Service, job: str) -> JobRecord:
    """The record of a job."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        desk = job_desk(service, db, row)
        workers = act_store.workers(db, service.site, row["id"])
        done = [DoneByOne(person=one["done_by"], kind=one["kind"], acts=one["acts"],
                          first_at=one["first_at"], last_at=one["last_at"])
                for one in trails.people_of(db, service.site, row["id"])]  # fmt: skip
    refused = ledger_reading.refused_page(service, job, RefusedWanted(limit=_MOST_REFUSED))
    names = dict(desk.names)
    return JobRecord(
        job=job_facts(row),
        vehicle=row["vehicle"],
        people=people_on_job(done, workers, names),
        refused=tuple(
            RefusedAtCheck(
                shown=one,
                title=ACT_WORDS.get(one.kind, one.kind),
                by=names.get(one.by, one.by),
                ended_by=names.get(one.ended.by, one.ended.by) if one.ended else "",
            )
            for one in reversed(refused.refused)
        ),
        more_refused=refused.next_cursor != "",
        custody=custody_list(job_facts(row), desk),
        of_vehicle=vehicle_records.vehicle_record(service, row["vehicle"])
        if row["vehicle"]
        else None,
        names=names,
        released_before=desk.state.last_release is not None,
        handed_over_before=last_hand_over(desk.state) is not None,
    )


def verified(service: Service, job: str) -> Verified:
    """The job's ledger read from its first act to its last, each line computed anew."""
    return verify_lines(io.StringIO(ledger_reading.ledger_file(service, job)))
