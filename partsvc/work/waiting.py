"""Which steps of a job can be started now, and what the others wait for, read at one moment."""

from __future__ import annotations

from partsvc.domain import waiting
from partsvc.domain.desk import Doing
from partsvc.domain.lacking import Coming
from partsvc.domain.order_view import folded
from partsvc.domain.order_wants import numbers_in_use
from partsvc.domain.refit_list import refit_list
from partsvc.store import balances, order_lines
from partsvc.work import clock, facts
from partsvc.work.job_view import job_facts, ranks
from partsvc.work.ordering import free_for, live_lines
from partsvc.work.service import Sender, Service


def waiting_list(service: Service, sender: Sender, job: str) -> waiting.WaitingList:
    """The unfinished steps of a job both ways, as they stand for who asks."""
    with service.database.reading() as db:
        row = facts.job_row(service, db, job)
        desk = facts.with_came_off(service, db, facts.job_desk(service, db, row, look_back=True))
        lines = live_lines(service, desk, folded(order_lines.of_job(db, service.site, job)))
        refit = refit_list(job_facts(row), desk, ranks(service, db, desk))
        for held in free_for(
            service, db, job, balances.in_store(db, service.site, numbers_in_use(desk))
        ):
            desk.book.hold(held)
        at = service.stamp()
        asking = Doing(
            key=clock.new_key(),
            kind="waiting",
            by=sender.person,
            recorded_by=sender.person,
            roles=sender.roles,
            at=at,
            day=clock.day_of(at, service.zone),
        )
        coming = Coming.of(desk, lines)
        return waiting.waiting_list(job_facts(row), desk, refit, coming, asking)
