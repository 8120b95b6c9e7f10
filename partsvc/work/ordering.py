"""What to order for a job, read at one moment."""

from __future__ import annotations

from partsvc.domain import order_list as orders
from partsvc.domain import refit_list as refits
from partsvc.store import balances, keeping
from partsvc.work.facts import job_desk, job_row
from partsvc.work.job_view import job_facts, ranks
from partsvc.work.service import Service


def order(service: Service, job: str) -> orders.OrderList:
    """What to order for a job."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        desk = job_desk(service, db, row, look_back=True)
        used = {item.part for _, one in desk.plan.each_position() for item in one.stack}
        today = {orders.successor(part, desk.parts) for part in used}
        for held in balances.in_store(db, service.site, used | today):
            desk.book.hold(held)
        on_order = {one["part"]: one["quantity"] for one in keeping.on_order(db, service.site, job)}
        refit = refits.order_of(desk, ranks(service, db, desk))
        return orders.order_list(job_facts(row), desk, refit, on_order)
