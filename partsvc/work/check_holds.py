"""The hold points of a job with all their passings, read at one moment."""

from __future__ import annotations

from dataclasses import dataclass

from partsvc.domain.hold_history import HoldHistory, hold_histories
from partsvc.domain.job_facts import JobFacts
from partsvc.store import trails
from partsvc.work.facts import job_desk, job_row
from partsvc.work.facts_of_holds import with_work_done
from partsvc.work.job_view import job_facts
from partsvc.work.service import Service
from partsvc.work.trail import act_told


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldsOfJob:
    """Every hold point of a job, in plan order."""

    job: JobFacts
    holds: tuple[HoldHistory, ...]

    @property
    def not_passed(self) -> int:
        """How many do not stand now, passed once or never."""
        return sum(not one.line.passed for one in self.holds)


def holds_of_job(service: Service, job: str) -> HoldsOfJob:
    """The hold points of a job, each with its readings against their limits."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        desk = with_work_done(service, db, job_desk(service, db, row))
        rows = trails.of_kind(db, service.site, row["id"], "hold")
    return HoldsOfJob(job=job_facts(row), holds=hold_histories(desk, map(act_told, rows)))
