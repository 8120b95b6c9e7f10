"""The order on paper and as a table that a spreadsheet opens right."""

from __future__ import annotations

import csv
from io import StringIO

from labels.draw_paper import paper_pdf
from labels.paper import Align, Block, Cell, Column, Heading, Paper, Paragraph, Strong, Table
from partsvc.domain.order_list import OrderLine, OrderList
from partsvc.work.ordering import order
from partsvc.work.papers.common import facts, footer
from partsvc.work.service import Service

_COLUMNS = (
    Column("Order", width_mm=16, align=Align.RIGHT),
    Column("Part", share=1.5),
    Column("Why", share=1.7),
    Column("There already", share=0.9),
    Column("First needed", width_mm=30),
)

CSV_COLUMNS = (
    "part", "name", "instead_of", "to_order", "packs", "pack_size", "needed", "spare", "in_stock",
    "in_bags", "on_order", "first_needed_at_step", "needed_by", "why",
)  # fmt: skip


def order_pdf(service: Service, job: str) -> bytes:
    """The order of a job as a PDF."""
    return paper_pdf(order_paper(order(service, job)))


def order_paper(wanted: OrderList) -> Paper:
    """What the order says."""
    to_order = [line for line in wanted.lines if line.to_order]
    there = [line for line in wanted.lines if not line.to_order]
    blocks: list[Block] = [
        Heading("To order"),
        Table(_COLUMNS, tuple(map(_row, to_order)), empty="Nothing has to be ordered."),
    ]
    if there:
        blocks += [
            Heading("Needed, and there already", 2),
            Table(_COLUMNS, tuple(map(_row, there))),
        ]
    if wanted.consumables:
        blocks += [Heading("Consumables the steps ask for", 2), _consumables(wanted)]
    if wanted.not_named:
        places = "; ".join(wanted.not_named)
        blocks.append(Paragraph(f"Parts not named yet, so not in this order: {places}."))
    return Paper(
        title="Order",
        facts=facts(wanted.job),
        blocks=tuple(blocks),
        footer=footer(wanted.job),
    )


def _row(line: OrderLine) -> tuple[Cell, ...]:
    many = "pack" if line.packs == 1 else "packs"
    packs = f"\n{line.packs} {many} of {line.pack_size}" if line.pack_size > 1 else ""
    instead = f"\ntakes the place of {', '.join(line.instead_of)}" if line.instead_of else ""
    step = f"step {line.first_step_number}" if line.first_step else ""
    return (
        Strong(str(line.to_order)),
        f"{line.called}{packs}{instead}",
        _why(line, "\n"),
        _there(line),
        "\n".join(filter(None, (step, f"by {line.by}" if line.by else ""))),
    )


def _why(line: OrderLine, between: str) -> str:
    return between.join(filter(None, (", ".join(line.why), line.spare_why)))


def _there(line: OrderLine) -> str:
    counts = ((line.in_stock, "in store"), (line.in_bags, "in bags"), (line.on_order, "on order"))
    return "\n".join(f"{number} {words}" for number, words in counts if number)


def _consumables(wanted: OrderList) -> Table:
    columns = (Column("What", share=2), Column("Amount", share=1), Column("At steps", share=1))
    rows = tuple(
        (one.what, f"{one.amount} {one.unit}".strip() or "as the maker states",
         ", ".join(map(str, one.steps)))
        for one in wanted.consumables
    )  # fmt: skip
    return Table(columns, rows)


def order_csv(service: Service, job: str) -> str:
    """The order of a job as comma-separated values with a header row."""
    text = StringIO()
    table = csv.writer(text, lineterminator="\r\n")
    table.writerow(CSV_COLUMNS)
    for line in order(service, job).lines:
        table.writerow(tuple(map(_harmless, _csv_row(line))))
    return text.getvalue()


def _csv_row(line: OrderLine) -> tuple[str | int, ...]:
    return (
        line.part, line.called, " ".join(line.instead_of), line.to_order, line.packs,
        line.pack_size, line.needed, line.spare, line.in_stock, line.in_bags, line.on_order,
        line.first_step_number or "", line.by, _why(line, "; "),
    )  # fmt: skip


def _harmless(cell: str | int) -> str | int:
    """A text that a spreadsheet would take for a formula gets an apostrophe in front."""
    if isinstance(cell, str) and cell[:1] in ("=", "+", "-", "@", "\t", "\r"):
        return f"'{cell}"
    return cell
