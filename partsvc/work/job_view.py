"""Names a job on its lists and papers, and tells in which order it was taken apart."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Mapping

from partsvc.domain.desk import Desk
from partsvc.domain.job_facts import JobFacts
from partsvc.domain.strip_order import StripMoment, strip_ranks
from partsvc.store import acts as act_store
from partsvc.store import endings
from partsvc.store.database import Row
from partsvc.work.service import Service


def job_facts(row: Row) -> JobFacts:
    """A job as its lists and papers name it."""
    return JobFacts(
        id=row["id"],
        number=row["number"],
        title=row["title"],
        vin=row["vin"],
        model=row["model"],
        procedure=row["procedure"],
        revision=row["revision"],
        needed_by=row["needed_by"],
        state=row["state"],
        head=row["head"],
        head_seq=row["head_seq"],
        opened_at=row["opened_at"],
        takes_over=row["takes_over_number"],
    )


def ranks(service: Service, db: sqlite3.Connection, desk: Desk) -> Mapping[str, int]:
    """In which order the steps were really taken apart."""
    moments = []
    for seq, act in _strip_acts(service, db, desk.account):
        kind, _, at = act.place.partition(":")
        step = desk.plan.step_of.get(at) if kind == "step" else desk.plan.home_step.get(at)
        if step is not None:
            moments.append(
                StripMoment(
                    step=step.id,
                    seq=seq,
                    done_at=act.done_at,
                    device=act.device,
                    device_seq=act.device_seq,
                )
            )
    return strip_ranks(moments)


def _strip_acts(
    service: Service, db: sqlite3.Connection, account: str
) -> Iterator[tuple[int, act_store.StripAct]]:
    """The stripping of a job, after that of the jobs it took over, numbered through."""
    before = 0
    for job in (*endings.earlier(db, service.site, account), account):
        acts = list(act_store.strip_acts(db, service.site, job))
        yield from ((before + act.seq, act) for act in acts)
        before += max((act.seq for act in acts), default=0)
