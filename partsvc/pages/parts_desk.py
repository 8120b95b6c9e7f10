"""The parts desk: what to order now, what was asked for, what is on its way, job by job."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass, replace

from flask import Response, request
from werkzeug.wrappers import Response as AnyResponse

from partsvc.domain.acts.kinds import SUPPLY, Role
from partsvc.domain.desk_order import DeskOrder
from partsvc.domain.order_lines import LineState
from partsvc.domain.order_view import LiveLine
from partsvc.errors import Invalid
from partsvc.pages.filled_in import carried_out, filled_in
from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom
from partsvc.web.running import sender, service
from partsvc.work import catalogue, jobs, order_lines, order_notes, papers
from partsvc.work.catalogue import ByNumber
from partsvc.work.desk_order import MOST_JOBS, order_of_all
from partsvc.work.jobs import JobStanding, JobState, JobsWanted
from partsvc.work.naming import names
from partsvc.work.order_lines import NewLine
from partsvc.work.order_notes import LineNote, NoteOf
from partsvc.work.waiting import waiting_list

room = PageRoom("parts_desk", __name__)
DESK = frozenset({Role.PARTS, Role.LEAD})

_A_PAGE = 200
_NOT_ORDERED = (LineState.ASKED, LineState.BACK_ORDERED, LineState.REFUSED)


@dataclass(frozen=True, slots=True, kw_only=True)
class OnItsWay:
    """The order lines that have not come, as the desk goes through them.

    `to_order` are those that the desk has yet to order; `coming` those that come together, by
    their order number.
    """

    to_order: tuple[LiveLine, ...]
    coming: Mapping[str, tuple[LiveLine, ...]]


def on_its_way(order: DeskOrder) -> OnItsWay:
    """The order lines of all jobs, those promised first at the top."""
    parts = [live for line in order.lines for need in line.jobs for live in need.live]
    amounts = [live for one in order.consumables for need in one.jobs for live in need.live]
    found = {live.id: live for live in (*parts, *amounts, *order.also_ordered)}
    still = [
        live
        for live in found.values()
        if live.state not in (LineState.DELIVERED, LineState.CANCELLED)
    ]
    coming: dict[str, tuple[LiveLine, ...]] = {}
    for live in sorted(still, key=lambda one: (one.promised or "9999", one.reference, one.what)):
        if live.state not in _NOT_ORDERED:
            coming[live.reference] = (*coming.get(live.reference, ()), live)
    return OnItsWay(
        to_order=tuple(live for live in still if live.state in _NOT_ORDERED), coming=coming
    )


def open_jobs() -> dict[str, JobStanding]:
    """The jobs that are worked on, by id; the first one needed at the top."""
    found: list[JobStanding] = []
    wanted = JobsWanted(state=JobState.OPEN, limit=_A_PAGE)
    while len(found) < MOST_JOBS:
        page = jobs.page(service(), wanted).jobs
        found += page
        if len(page) < _A_PAGE:
            break
        wanted = replace(wanted, cursor=page[-1].number)
    found.sort(key=lambda job: (job.needed_by or "9999", job.number))
    return {job.id: job for job in found}


def part_numbers() -> list[tuple[str, str]]:
    """Part numbers with their names, to choose from while typing."""
    page = catalogue.page(service(), ByNumber(limit=500))
    return [(part.number, part.name) for part in page.parts]


@room.page("/parts", roles=SUPPLY)
def order() -> Response:
    """What to order now across all jobs, and what is on its way."""
    return _order()


def _order(*, fault: str = "", status: int = 200) -> Response:
    found = order_of_all(service())
    return shown(
        "parts_order.html",
        order=found,
        way=on_its_way(found),
        jobs=open_jobs(),
        numbers=part_numbers(),
        today=service().today(),
        fault=fault,
        typed=request.form,
        status=status,
    )


@room.page("/parts/order.csv", roles=SUPPLY)
def order_table() -> Response:
    """What to order across all jobs, for a spreadsheet."""
    answer = Response(papers.desk_order_csv(service()), content_type="text/csv; charset=utf-8")
    answer.headers["Content-Disposition"] = 'attachment; filename="to-order.csv"'
    answer.headers["Cache-Control"] = "no-store"
    return answer


@room.page("/parts/jobs/<job>", roles=SUPPLY)
def job_at_the_desk(job: str) -> Response:
    """One job: what it waits for, its order lines with their history."""
    return _job(job)


def _job(job: str, *, fault: str = "", status: int = 200) -> Response:
    waiting = waiting_list(service(), sender(), job)
    return shown(
        "parts_job.html",
        job=waiting.job,
        waiting=waiting,
        lines=order_lines.histories_of(service(), job),
        events=tuple(NoteOf),
        names=names(service()),
        numbers=part_numbers(),
        fault=fault,
        typed=request.form,
        status=status,
    )


@room.page("/parts/jobs/<job>/ask", roles=SUPPLY, methods=("POST",))
def ask_for_all(job: str) -> AnyResponse:
    """Ask for all that a job lacks now."""

    def work(db: sqlite3.Connection) -> str:
        order_lines.ask_for_all(service(), db, sender(), job)
        return _back()

    return carried_out(work, _again)


@room.page("/parts/lines", roles=SUPPLY, methods=("POST",))
def add_to_order() -> AnyResponse:
    """Something more is wanted on a job: a part, or a consumable."""

    def work(db: sqlite3.Connection) -> str:
        job = request.form.get("job", "")
        if not job:
            raise Invalid("Choose the job that it is for.", field="job")
        order_lines.add(service(), db, sender(), job, filled_in(NewLine, whole=("quantity",)))
        return _back()

    return carried_out(work, _again)


@room.page("/parts/ordered", roles=DESK, methods=("POST",))
def ordered() -> AnyResponse:
    """Lines were ordered together: one order number, one promised day."""

    def work(db: sqlite3.Connection) -> str:
        given, lines = filled_in(LineNote), request.form.getlist("line")
        if not lines:
            raise Invalid("Tick what was ordered.", field="line")
        for line in lines:
            order_notes.note(service(), db, sender(), line, given)
        return _back()

    return carried_out(work, _again)


@room.page("/parts/lines/<line>", roles=DESK, methods=("POST",))
def note(line: str) -> AnyResponse:
    """What became of an order line."""

    def work(db: sqlite3.Connection) -> str:
        given = filled_in(LineNote, whole=("quantity", "seen"), ticks=("accepted",))
        order_notes.note(service(), db, sender(), line, given)
        return _back()

    return carried_out(work, _again)


def _back() -> str:
    """The page that the form stood on: a job's, or that of all jobs."""
    job = request.form.get("on_job", "")
    return f"/parts/jobs/{job}" if job.isalnum() else "/parts"


def _again(*, fault: str, status: int) -> Response:
    job = request.form.get("on_job", "")
    if job.isalnum():
        return _job(job, fault=fault, status=status)
    return _order(fault=fault, status=status)
