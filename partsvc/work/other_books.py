"""Reads what a job's desk must know of other books: whose they are, what they say, the bay."""

from __future__ import annotations

import sqlite3
from dataclasses import replace

from partsvc.domain.acts.kinds import ActKind, Needs
from partsvc.domain.desk import WORKSHOP, Desk
from partsvc.domain.effects_between import Borrowed, Lent
from partsvc.domain.other_books import OtherJob, SaidElsewhere
from partsvc.store import between
from partsvc.store.acts import effect_of
from partsvc.work.service import Service

# The members by which acts name another job.
NAMED = ("to_job", "from_job", "of_job")


def said_elsewhere(
    service: Service, db: sqlite3.Connection, account: str
) -> tuple[SaidElsewhere, ...]:
    """What other books say was lent to this one or borrowed from it."""
    found = []
    for row in between.said_elsewhere(db, service.site, account):
        effect = effect_of(row)
        if isinstance(effect, Lent | Borrowed):
            found.append(
                SaidElsewhere(
                    account=row["account"],
                    number=row["number"],
                    by=row["done_by"],
                    at=row["done_at"],
                    effect=effect,
                )
            )
    return tuple(found)


def with_other_books(
    service: Service, db: sqlite3.Connection, desk: Desk, kind: ActKind, request: object
) -> Desk:
    """The desk, knowing the other job an act names, and what other books say of this one."""
    if Needs.OTHER_JOB not in kind.needs:
        return desk
    named = [value for name in NAMED if isinstance(value := getattr(request, name, None), str)]
    jobs = {name: job for name in named if (job := _named(service, db, name)) is not None}
    said = said_elsewhere(service, db, desk.account)
    return replace(desk, other_jobs=jobs, said_elsewhere=said)


def _named(service: Service, db: sqlite3.Connection, name: str) -> OtherJob | None:
    if name == WORKSHOP:
        return OtherJob(account=WORKSHOP, number=0)
    row = between.named_job(db, service.site, name)
    return OtherJob(account=row["id"], number=row["number"], state=row["state"]) if row else None


def with_bay(service: Service, db: sqlite3.Connection, desk: Desk) -> Desk:
    """The workshop's desk, its book knowing what lies in the workshop's own bags."""
    for held in between.in_bags(db, service.site, desk.account):
        desk.book.hold(held)
    return desk
