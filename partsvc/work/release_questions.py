"""What a releaser is asked before a job is closed, read at one moment."""

from __future__ import annotations

from partsvc.domain.release_questions import ReleaseQuestions
from partsvc.domain.release_questions import release_questions as asked_of
from partsvc.work.facts import job_desk, job_row
from partsvc.work.job_view import job_facts
from partsvc.work.service import Service


def release_questions(service: Service, job: str) -> ReleaseQuestions:
    """The fixed questions, this job's reminders, and its old parts."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        return asked_of(job_facts(row), job_desk(service, db, row, look_back=True))
