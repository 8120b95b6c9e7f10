"""The reconciliation on paper: two lines, what is open, what most likely happened, both sides."""

from __future__ import annotations

from labels.draw_paper import paper_pdf
from labels.paper import (
    Align,
    Block,
    Caution,
    Cell,
    Column,
    Heading,
    Paper,
    Paragraph,
    StatusLine,
    Strong,
    Table,
    TwoLines,
)
from partsvc.domain.this_vehicle import OfThisVehicle
from partsvc.work.papers.account_words import CAME_IN, came_and_went, where_now, words_of
from partsvc.work.papers.common import facts, footer, stop
from partsvc.work.reconciling import FindingView, ReconciliationView, reconciliation
from partsvc.work.service import Service

_FINDING_COLUMNS = (
    Column("Gravity", width_mm=22),
    Column("What", share=0.9),
    Column("Where and what to do", share=2.2),
    Column("No.", width_mm=10, align=Align.RIGHT),
)


def reconciliation_pdf(service: Service, job: str) -> bytes:
    """The reconciliation of a job as a PDF."""
    return paper_pdf(reconciliation_paper(reconciliation(service, job)))


def reconciliation_paper(view: ReconciliationView) -> Paper:
    """What the reconciliation says."""
    return Paper(
        title="Reconciliation",
        facts=facts(view.job),
        blocks=(*stop(view.stopped), *done_alone(view), *account_blocks(view)),
        footer=footer(view.job),
    )


def account_blocks(view: ReconciliationView) -> list[Block]:
    """The account of a job, as the reconciliation and the release record both show it."""
    blocks: list[Block] = [two_lines(view), Heading("Open findings")]
    blocks.append(_findings(view.findings, "No finding is open."))
    if view.story:
        blocks.append(Heading("What most likely happened", 2))
        blocks += [Paragraph(line.words) for line in view.story]
    if view.not_seen:
        blocks += [Heading("Not seen yet", 2), _findings(view.not_seen, "")]
    if view.accepted:
        blocks += [Heading("Accepted as it stands", 2), _accepted(view.accepted)]
    if view.this_vehicle:
        blocks += [Heading("This vehicle, other than planned", 2), of_vehicle(view.this_vehicle)]
    blocks += [Heading("The account of each part"), _accounts(view)]
    blocks += [Heading("Reasons for passing the gate", 2), _gates(view), Paragraph(view.limits)]
    return blocks


def done_alone(view: ReconciliationView) -> list[Block]:
    """What one person did that otherwise takes two: large, before everything else."""
    if not view.alone:
        return []
    return [
        Heading("DONE ALONE: NO SECOND PERSON"),
        Caution("\n".join(f"{one.words} (act of {one.at[:16]})" for one in view.alone)),
    ]


def two_lines(view: ReconciliationView) -> TwoLines:
    """The two lines that never melt into one."""
    return TwoLines(
        (
            StatusLine("The book", view.book_words, view.book_closes),
            StatusLine("Seen", view.seen_words, view.seen),
        )
    )


def _findings(findings: tuple[FindingView, ...], empty: str) -> Table:
    rows: list[tuple[Cell, ...]] = [
        (Strong(one.gravity.upper()), one.title, one.words, str(one.quantity)) for one in findings
    ]
    return Table(_FINDING_COLUMNS, tuple(rows), empty=empty or "Nothing to list.")


def of_vehicle(lines: tuple[OfThisVehicle, ...]) -> Table:
    """What is otherwise on this vehicle than in its procedure, as a table."""
    columns = (Column("What", share=0.8), Column("Where", share=1.2), Column("Said", share=2))
    rows = tuple(
        (one.what, f"Step {one.step_number}, {one.where}" if one.step else one.where, one.words)
        for one in lines
    )
    return Table(columns, rows)


def _accepted(findings: tuple[FindingView, ...]) -> Table:
    columns = (Column("Finding", share=2), Column("Accepted because", share=1.4))
    return Table(columns, tuple((one.words, one.accepted_because) for one in findings))


def _accounts(view: ReconciliationView) -> Table:
    columns = (
        Column("Part", share=1.6),
        Column("Came in, less went out", share=1.6),
        Column("Is now", share=1.8),
        Column("Adds up", width_mm=20),
    )
    rows: list[tuple[Cell, ...]] = []
    for one in view.accounts:
        came = came_and_went(one.came_in, one.went_out, one.in_total)
        now = where_now(one.is_now, one.now_total)
        verdict: Cell = "yes" if one.balanced else Strong("NO")
        rows.append((one.called, came, now, verdict))
    return Table(columns, tuple(rows), empty="Nothing has moved yet.")


def _gates(view: ReconciliationView) -> Table:
    columns = (Column("Reason"), Column("Pieces, net", width_mm=30, align=Align.RIGHT))
    rows = tuple((words_of(gate, CAME_IN), str(net)) for gate, net in view.gates.items())
    return Table(columns, rows)
