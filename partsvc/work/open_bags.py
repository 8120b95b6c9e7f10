"""The open bags of a job, read at one moment."""

from __future__ import annotations

import sqlite3

from partsvc.domain.open_bags import Moved, OpenBags
from partsvc.domain.open_bags import open_bags as all_open
from partsvc.store import bags
from partsvc.work.facts import job_desk, job_row
from partsvc.work.facts_of_bags import with_pockets
from partsvc.work.job_view import job_facts
from partsvc.work.service import Service


def open_bags(service: Service, job: str) -> OpenBags:
    """The bags of a job that hold something, with contents, last place and last touch."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        moved = bags_moved(service, db, job)
        desk = with_pockets(service, db, job_desk(service, db, row))
        return all_open(job_facts(row), desk, moved)


def bags_moved(service: Service, db: sqlite3.Connection, job: str) -> dict[str, Moved]:
    """When each bag of a job was last moved from or into, by its code."""
    return {
        one["place"].partition(":")[2]: Moved(one["seq"], one["done_at"], one["done_by"])
        for one in bags.last_moved(db, service.site, job)
    }
