"""Addresses of jobs: opened, listed, looked at, renamed."""

from __future__ import annotations

from partsvc.api.paging import LINK_HEADER, next_page
from partsvc.api.room import Room
from partsvc.domain.acts.kinds import ALL, HANDS, SUPPLY
from partsvc.web.running import sender, service
from partsvc.work import jobs
from partsvc.work.answers import Writing
from partsvc.work.jobs import (
    JobChange,
    JobsPage,
    JobStanding,
    JobsWanted,
    NewJob,
)

room = Room("jobs", __name__, description="Jobs: one vehicle, one large strip-down.")


def _let_go(given: NewJob) -> None:
    jobs.let_go_first(service(), sender(), given)


@room.at(
    "POST", "/jobs", roles=HANDS, takes=NewJob, gives=JobStanding, status=201, writes=True,
    location="/api/v1/jobs/{id}", problems=[404, 409], first=_let_go,
)  # fmt: skip
def post_job(*, db: Writing, given: NewJob) -> JobStanding:
    """Open a job

    On a procedure's revision, or on none: then the record is made while stripping. A job that
    `takes_over` one that was handed over incomplete goes on with its plan, its pieces and its tags;
    cut short, the same request sent again finishes it.
    """
    return jobs.start(service(), db, sender(), given)


@room.at(
    "GET", "/jobs", roles=ALL, asks=JobsWanted, gives=JobsPage, headers=LINK_HEADER,
)  # fmt: skip
def get_jobs(*, asked: JobsWanted) -> tuple[JobsPage, dict[str, str]]:
    """List jobs, newest first"""
    page = jobs.page(service(), asked)
    full = len(page.jobs) == asked.limit
    return page, next_page("cursor", page.jobs[-1].number if full else None)


@room.at("GET", "/jobs/<job>", roles=ALL, gives=JobStanding, etag=True)
def get_job(job: str) -> JobStanding:
    """Look at where a job stands"""
    return jobs.standing(service(), job)


@room.at(
    "PATCH", "/jobs/<job>", roles=SUPPLY, takes=JobChange, gives=JobStanding, writes=True,
    etag=True,
)  # fmt: skip
def patch_job(job: str, *, db: Writing, given: JobChange) -> JobStanding:
    """Give a job another title or another day"""
    found = jobs.standing(service(), job)
    room.same(found)
    return jobs.change(service(), db, found, given)
