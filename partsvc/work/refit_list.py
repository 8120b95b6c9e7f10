"""The refit checklist of a job, read at one moment."""

from __future__ import annotations

from partsvc.domain import refit_list as refits
from partsvc.work.facts import job_desk, job_row
from partsvc.work.facts_of_bags import with_pockets
from partsvc.work.job_view import job_facts, ranks
from partsvc.work.service import Service


def refit_list(service: Service, job: str) -> refits.RefitList:
    """The refit checklist, in the order in which things go back."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        desk = with_pockets(service, db, job_desk(service, db, row, look_back=True))
        return refits.refit_list(job_facts(row), desk, ranks(service, db, desk))
