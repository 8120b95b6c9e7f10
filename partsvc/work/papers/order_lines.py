"""The order lines of a job as a table that a spreadsheet opens right."""

from __future__ import annotations

from partsvc.domain.order_view import LiveLine
from partsvc.work.order_lines import lines_of
from partsvc.work.papers.spreadsheet import Cell, csv_table
from partsvc.work.service import Service

COLUMNS = (
    "line", "kind", "part", "name", "state", "ordered", "delivered", "outstanding", "unit",
    "reference", "promised", "late", "for_steps", "marks", "words",
)  # fmt: skip


def order_lines_csv(service: Service, job: str) -> bytes:
    """The order lines of a job as comma-separated values with a header row."""
    return csv_table(COLUMNS, map(_row, lines_of(service, job).lines))


def _row(line: LiveLine) -> tuple[Cell, ...]:
    counted = line.unit == "" and line.amount == ""
    amounts: tuple[Cell, Cell, Cell] = (
        (line.quantity, line.delivered, line.outstanding)
        if counted
        else (line.amount, line.amount_delivered, line.amount_outstanding)
    )
    return (
        line.id, line.kind.value, line.what, line.called, line.state.value, *amounts,
        "pieces" if counted else line.unit, line.reference, line.promised,
        "late" if line.late else "", " ".join(str(step.number) for step in line.steps),
        "; ".join(line.marks), line.words,
    )  # fmt: skip
