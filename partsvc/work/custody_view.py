"""The custody list of a job, read at one moment."""

from __future__ import annotations

from partsvc.domain.custody_list import CustodyList, custody_list
from partsvc.work.facts import job_desk, job_row
from partsvc.work.job_view import job_facts
from partsvc.work.service import Service


def custody(service: Service, job: str) -> CustodyList:
    """Who holds what on a job."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        return custody_list(job_facts(row), job_desk(service, db, row))
