"""The order on paper and as a table that a spreadsheet opens right."""

from __future__ import annotations

from collections.abc import Sequence

from labels.draw_paper import paper_pdf
from labels.paper import Align, Block, Cell, Column, Heading, Paper, Paragraph, Strong, Table
from partsvc.domain.order_list import Consumable, OrderLine, OrderList
from partsvc.domain.order_view import LiveLine
from partsvc.work.ordering import order
from partsvc.work.papers.common import facts, footer
from partsvc.work.papers.spreadsheet import Cell as TableCell
from partsvc.work.papers.spreadsheet import csv_table
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
    "in_bags", "on_order", "first_needed_at_step", "needed_by", "why", "unit", "state", "promised",
    "reference",
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
    if wanted.also_ordered:
        blocks += [Heading("Ordered, and not wanted by the plan as it stands", 2)]
        blocks += [Paragraph(f"{one.called}: {one.words}.") for one in wanted.also_ordered]
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
    there = [f"{number} {words}" for number, words in counts if number]
    return "\n".join([*there, *_live_words(line.live)])


def _live_words(lines: Sequence[LiveLine]) -> list[str]:
    """Where each order line stands, and what does not fit on it."""
    return [". ".join([line.words, *line.marks]) for line in lines]


def _consumables(wanted: OrderList) -> Table:
    columns = (
        Column("What", share=2), Column("Amount", share=1), Column("At steps", share=1),
        Column("Ordered", share=1.2),
    )  # fmt: skip
    rows = tuple(
        (one.what, f"{one.amount} {one.unit}".strip() or "as the maker states",
         ", ".join(map(str, one.steps)), "\n".join(_live_words(one.live)) or "to be ordered")
        for one in wanted.consumables
    )  # fmt: skip
    return Table(columns, rows)


def order_csv(service: Service, job: str) -> bytes:
    """The order of a job, parts first, as comma-separated values with a header row."""
    wanted = order(service, job)
    rows = [*map(_csv_row, wanted.lines), *map(_csv_consumable, wanted.consumables)]
    return csv_table(CSV_COLUMNS, rows)


def _csv_row(line: OrderLine) -> tuple[TableCell, ...]:
    return (
        line.part, line.called, " ".join(line.instead_of), line.to_order, line.packs,
        line.pack_size, line.needed, line.spare, line.in_stock, line.in_bags, line.on_order,
        line.first_step_number or "", line.by, _why(line, "; "), "pieces", line.state,
        _promised(line.live), _references(line.live),
    )  # fmt: skip


def _csv_consumable(one: Consumable) -> tuple[TableCell, ...]:
    return (
        "", one.what, "", one.to_order, "", "", one.amount, "", "", "", one.on_order,
        one.steps[0] if one.steps else "", "", "", one.unit, one.state, _promised(one.live),
        _references(one.live),
    )  # fmt: skip


def _promised(lines: Sequence[LiveLine]) -> str:
    return " ".join(dict.fromkeys(one.promised for one in lines if one.promised))


def _references(lines: Sequence[LiveLine]) -> str:
    return "; ".join(dict.fromkeys(one.reference for one in lines if one.reference))
