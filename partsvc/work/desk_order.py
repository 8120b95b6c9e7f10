"""What to order now across all open jobs, read at one moment."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from partsvc.domain.desk_order import DeskOrder, desk_order, in_turn, left_on_shelf
from partsvc.domain.ledger import Holding
from partsvc.domain.order_lines import LineFacts, LineNow
from partsvc.domain.order_list import OrderList
from partsvc.domain.order_view import folded
from partsvc.domain.order_wants import numbers_in_use
from partsvc.store import balances, keeping, order_lines, supply
from partsvc.work.facts import job_desk
from partsvc.work.job_view import job_facts
from partsvc.work.jobs import NEWEST
from partsvc.work.ordering import wanted
from partsvc.work.service import Service

# A workshop has a few dozen vehicles taken apart at once; this bounds what one look can cost.
MOST_JOBS = 500


def order_of_all(service: Service) -> DeskOrder:
    """What to order for all open jobs together, the shelf shared out by the day of need."""
    with service.database.reading() as db:
        rows = keeping.jobs(db, service.site, state="open", before=NEWEST, limit=MOST_JOBS)
        row_of = {row["id"]: row for row in rows}
        desks = {ident: job_desk(service, db, row, look_back=True) for ident, row in row_of.items()}
        lines: dict[str, list[tuple[LineFacts, LineNow]]] = defaultdict(list)
        for facts, now in folded(order_lines.of_open_jobs(db, service.site)):
            lines[facts.job].append((facts, now))
        parts = {part for desk in desks.values() for part in numbers_in_use(desk)}
        shelf: Sequence[Holding] = balances.in_store(db, service.site, parts)
        lots = supply.lots(db, service.site, (held.spot.lot for held in shelf))
        came_for = {where: lot.job for where, lot in lots.items() if lot.job in row_of}
        orders: list[OrderList] = []
        for job in in_turn([job_facts(row) for row in rows]):
            desk = desks[job.id]
            mine: list[Holding] = []
            others: list[Holding] = []
            for held in shelf:
                whose = came_for.get((held.spot.lot, held.part), "")
                (mine if whose in ("", job.id) else others).append(held)
            for held in mine:
                desk.book.hold(held)
            found = wanted(service, db, row_of[job.id], desk, lines[job.id])
            orders.append(found)
            own = {where for where, whose in came_for.items() if whose == job.id}
            shelf = [*left_on_shelf(mine, found, desk.parts, came_for=own), *others]
        return desk_order(orders, next(iter(desks.values())).parts if desks else {})
