"""The hand-over of an incomplete job on paper: signed, what is open, which bags go along."""

from __future__ import annotations

from labels.draw_paper import paper_pdf
from labels.paper import (
    Align,
    Block,
    Cell,
    Column,
    Heading,
    Paper,
    Paragraph,
    Signature,
    Strong,
    Table,
)
from partsvc.domain.goes_along import AlongLine
from partsvc.work.handing_over import HandOverRecord, hand_over_record
from partsvc.work.papers.common import facts, footer
from partsvc.work.papers.reconciliation import account_blocks
from partsvc.work.service import Service

_ALONG = (
    Column("No.", width_mm=12, align=Align.RIGHT),
    Column("What", share=1.5),
    Column("Where it is", share=1.3),
    Column("Belongs at", share=1.3),
)


def hand_over_pdf(service: Service, job: str) -> bytes:
    """The record of the newest hand-over of a job as a PDF; NotFound if there was none."""
    return paper_pdf(hand_over_paper(hand_over_record(service, job)))


def hand_over_paper(record: HandOverRecord) -> Paper:
    """What the hand-over record says."""
    blocks: list[Block] = [
        Paragraph(
            "THIS JOB ENDED INCOMPLETE. The vehicle is not fit for the road by this record; what "
            "is open is listed below. Follow the maker's instructions before any further work."
        ),
        _statement(record),
        Heading("What goes along, and where it is"),
        Table(_ALONG, tuple(map(_along, record.goes_along)), empty="Nothing is off the vehicle."),
        *account_blocks(record.account),
        Signature(("Handed over by, signature, date", "Received by, signature, date")),
    ]
    if record.reopened:
        blocks.insert(0, Paragraph("REOPENED SINCE: this record is of the past."))
    return Paper(
        title="Hand-over of an incomplete job",
        facts=facts(record.account.job),
        blocks=tuple(blocks),
        footer=footer(record.account.job),
    )


def _statement(record: HandOverRecord) -> Table:
    lines = (
        ("Handed over by", record.by),
        ("To", record.to),
        ("Why", record.why.replace("-", " ")),
        ("Said", record.words),
        ("At (UTC)", record.at),
        ("Findings open", str(record.open_then)),
        ("Head handed over", record.head),
        ("Taken over since by", f"job {record.taken_over_by}" if record.taken_over_by else ""),
    )
    columns = (Column("Statement", share=1), Column("", share=1.9))
    return Table(columns, tuple(line for line in lines if line[1]))


def _along(line: AlongLine) -> tuple[Cell, ...]:
    worse = "" if line.condition == "used" else f", {line.condition}"
    step = f"step {line.step_number}" if line.step_number else ""
    return (
        Strong(str(line.quantity)),
        f"{line.called}{worse}",
        "\n".join(filter(None, (line.place, line.stowed_at))),
        "\n".join(filter(None, (line.belongs, step))),
    )
