"""What to order for a job, read at one moment, with its order lines beside it."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence

from partsvc.domain import order_list as orders
from partsvc.domain import refit_list as refits
from partsvc.domain.desk import Desk
from partsvc.domain.ledger import Holding
from partsvc.domain.live_order import with_lines
from partsvc.domain.order_lines import LineFacts, LineNow
from partsvc.domain.order_reasons import with_reasons
from partsvc.domain.order_view import LiveLine, folded, live_line, outstanding_parts, steps_for
from partsvc.domain.order_wants import numbers_in_use
from partsvc.store import balances, order_lines, supply
from partsvc.store.database import Row
from partsvc.work.facts import job_desk, job_row
from partsvc.work.job_view import job_facts, ranks
from partsvc.work.service import Service

Folded = Sequence[tuple[LineFacts, LineNow]]


def order(service: Service, job: str) -> orders.OrderList:
    """What to order for a job."""
    with service.database.reading() as db:
        return order_of(service, db, job_row(service, db, job))


def order_of(service: Service, db: sqlite3.Connection, row: Row) -> orders.OrderList:
    """What to order for a job, with what the shelf has for it."""
    desk = job_desk(service, db, row, look_back=True)
    lines = folded(order_lines.of_job(db, service.site, row["id"]))
    used = numbers_in_use(desk)
    for held in free_for(service, db, row["id"], balances.in_store(db, service.site, used)):
        desk.book.hold(held)
    return wanted(service, db, row, desk, lines)


def free_for(
    service: Service, db: sqlite3.Connection, job: str, shelf: Sequence[Holding]
) -> list[Holding]:
    """What of the shelf a job may count on: all but what came for another job."""
    lots = supply.lots(db, service.site, (held.spot.lot for held in shelf))
    reserved = {where: facts.job for where, facts in lots.items() if facts.job}
    return [held for held in shelf if reserved.get((held.spot.lot, held.part), job) == job]


def wanted(
    service: Service, db: sqlite3.Connection, row: Row, desk: Desk, lines: Folded
) -> orders.OrderList:
    """The order by what the desk knows: its book says what there is, the lines what is coming."""
    on_order = outstanding_parts(lines)
    refit = refits.order_of(desk, ranks(service, db, desk))
    found = orders.order_list(job_facts(row), desk, refit, on_order)
    found = with_reasons(found, desk)
    return with_lines(found, live_lines(service, desk, lines), desk.parts)


def live_lines(service: Service, desk: Desk, lines: Folded) -> tuple[LiveLine, ...]:
    """Order lines of a job as people read them."""
    steps, today = steps_for(desk.plan), service.today()
    return tuple(
        live_line(facts, now, parts=desk.parts, steps=steps, today=today) for facts, now in lines
    )
