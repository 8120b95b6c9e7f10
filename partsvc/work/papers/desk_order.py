"""What to order across all jobs as a table that a spreadsheet opens right."""

from __future__ import annotations

from collections.abc import Iterator

from partsvc.work.desk_order import order_of_all
from partsvc.work.papers.spreadsheet import Cell, csv_table
from partsvc.work.service import Service

COLUMNS = (
    "part", "name", "needed_by", "job", "title", "lacking", "order_in_all", "packs", "pack_size",
    "from_store", "on_order", "unit", "first_needed_at_step", "late", "why",
)  # fmt: skip


def desk_order_csv(service: Service) -> bytes:
    """A row for each part and job that wants it; the amount to order stands in its first row."""
    return csv_table(COLUMNS, _rows(service))


def _rows(service: Service) -> Iterator[tuple[Cell, ...]]:
    order = order_of_all(service)
    for line in order.lines:
        for at, one in enumerate(line.jobs):
            in_all = (line.to_order, line.packs, line.pack_size) if not at else ("", "", "")
            spare = [f"{one.spare} spare"] if one.spare else []
            yield (
                line.part, line.called, one.needed_by, one.job_number, one.title, one.lacking,
                *in_all, one.from_stock, one.on_order, "pieces", one.first_step_number or "",
                "late" if line.late else "", "; ".join([*one.why, *spare]),
            )  # fmt: skip
    for wanted in order.consumables:
        for at, need in enumerate(wanted.jobs):
            yield (
                "", wanted.what, need.needed_by, need.job_number, "", need.to_order,
                wanted.to_order if not at else "", "", "", "", "", wanted.unit,
                need.steps[0] if need.steps else "", "", "",
            )  # fmt: skip
