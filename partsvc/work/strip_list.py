"""The strip list of a job, read at one moment."""

from __future__ import annotations

from partsvc.domain import strip_list as strips
from partsvc.work.facts import job_desk, job_row, with_uses
from partsvc.work.facts_of_holds import with_work_done
from partsvc.work.job_view import job_facts
from partsvc.work.service import Service


def strip_list(service: Service, job: str) -> strips.StripList:
    """The strip list with its progress."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        desk = with_work_done(service, db, job_desk(service, db, row))
        desk = with_uses(service, db, desk)
        return strips.strip_list(job_facts(row), desk)
