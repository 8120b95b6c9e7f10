"""The release record: who released what, on which head, with what was accepted and searched."""

from __future__ import annotations

from dataclasses import dataclass

from labels.draw_paper import paper_pdf
from labels.paper import Block, Heading, Paper, Paragraph, Signature, Table
from labels.paper import Column as PaperColumn
from partsvc.domain.effects import Released
from partsvc.domain.release_questions import Reminder, reminders
from partsvc.errors import NotFound
from partsvc.store import people
from partsvc.work.facts import job_desk, job_row
from partsvc.work.job_view import job_facts
from partsvc.work.papers.common import facts, footer
from partsvc.work.papers.reconciliation import account_blocks, done_alone
from partsvc.work.papers.statement import old_parts_of, statement_blocks
from partsvc.work.reconciling import ReconciliationView, reconciled
from partsvc.work.service import Service


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseRecord:
    """A release as the record shows it."""

    view: ReconciliationView
    released: Released
    act: str
    by: str
    at: str
    workers: tuple[str, ...]
    still_open: bool
    reminders: tuple[Reminder, ...] = ()
    old_parts: tuple[tuple[str, int, str], ...] = ()


def release_pdf(service: Service, job: str) -> bytes:
    """The record of the newest release of a job as a PDF; NotFound if it was never released."""
    return paper_pdf(release_paper(release_record(service, job)))


def release_record(service: Service, job: str) -> ReleaseRecord:
    """The newest release of a job."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        desk = job_desk(service, db, row, look_back=True)
        last = desk.state.last_release
        if last is None or not isinstance(last.effect, Released):
            raise NotFound(
                "This job was never released. Look at its reconciliation for what is open.",
                job=job,
            )
        names = {one["id"]: one["name"] or one["login"] for one in people.people(db, service.site)}
        return ReleaseRecord(
            view=reconciled(job_facts(row), desk),
            released=last.effect,
            act=last.act,
            by=names.get(last.by, last.by),
            at=last.at,
            workers=tuple(sorted(names.get(one, one) for one in desk.workers)),
            still_open=desk.state.released is None,
            reminders=reminders(desk),
            old_parts=old_parts_of(desk, last.effect, last.act),
        )


def release_paper(record: ReleaseRecord) -> Paper:
    """What the release record says."""
    said = record.released
    statement = (
        ("Released by", record.by),
        ("At (UTC)", record.at),
        ("Looked at head", said.head),
        ("Procedure hash", said.plan_hash or "no procedure"),
        ("Head of the chain now", record.view.job.head),
        ("Fitted and secured by", ", ".join(record.workers) or "nobody"),
    )
    columns = (PaperColumn("Statement", share=1), PaperColumn("", share=1.9))
    blocks: list[Block] = [*done_alone(record.view), Table(columns, statement)]
    if record.still_open:
        blocks.insert(0, Paragraph("REOPENED SINCE: this record is of the past."))
    lines, *account = account_blocks(record.view)
    blocks += [lines, *statement_blocks(said, record.reminders, record.old_parts), *account]
    blocks += [
        Heading("What this record can show", 2),
        Paragraph(
            "The chain shows any change inside it. Kept elsewhere, as here on paper, its head "
            "also shows a record cut short or written anew. No record can show that what was "
            "scanned and said was true."
        ),
        Signature(("Released by, signature, date", "Received by, signature, date")),
    ]
    return Paper(
        title="Release record",
        facts=facts(record.view.job),
        blocks=tuple(blocks),
        footer=footer(record.view.job),
    )
