"""The record of a job that ended incomplete: who took it, what was open, what went along."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass, replace
from typing import Annotated

from partsvc.domain.desk import Desk
from partsvc.domain.effects_endings import TakenOver
from partsvc.domain.endings import handed_over, last_hand_over
from partsvc.domain.goes_along import AlongLine, along
from partsvc.domain.records import Says
from partsvc.errors import NotFound
from partsvc.store import keeping, people
from partsvc.store.database import Row
from partsvc.work.as_of import as_of
from partsvc.work.facts import job_desk, job_row
from partsvc.work.job_view import job_facts
from partsvc.work.reconciling import ReconciliationView, reconciled
from partsvc.work.service import Service


@dataclass(frozen=True, slots=True, kw_only=True)
class HandOverRecord:
    """A hand-over as its paper shows it."""

    why: str
    to: str
    words: str
    by: Annotated[str, Says("who signed it, by name")]
    at: str
    act: Annotated[str, Says("the key of the act")]
    head: Annotated[str, Says("the head of the chain that was handed over")]
    open_then: Annotated[int, Says("how many findings were open")]
    reopened: Annotated[bool, Says("the job was opened again since")]
    taken_over_by: Annotated[int, Says("the number of the job that took it over; 0 for none")]
    goes_along: tuple[AlongLine, ...]
    account: ReconciliationView


def hand_over_record(service: Service, job: str) -> HandOverRecord:
    """The newest hand-over of a job; NotFound if it never ended like that.

    What another job has taken over since is shown as it was handed over.
    """
    with service.database.reading() as db:
        row = job_row(service, db, job)
        now = job_desk(service, db, row, look_back=True)
        last = last_hand_over(now.state)
        if last is None:
            raise NotFound(
                "This job was never handed over incomplete. Look at its reconciliation for how it "
                "stands.",
                job=job,
            )
        happened, said = last
        desk = _as_handed_over(service, db, row, now)
        names = {one["id"]: one["name"] or one["login"] for one in people.people(db, service.site)}
        return HandOverRecord(
            why=said.why,
            to=said.to,
            words=said.words,
            by=names.get(happened.by, happened.by),
            at=happened.at,
            act=happened.act,
            head=said.head,
            open_then=said.open,
            reopened=handed_over(now.state) is None,
            taken_over_by=_number(service, db, row["taken_over_by"]),
            goes_along=tuple(_with_name(one, names) for one in along(desk)),
            account=reconciled(job_facts(row), desk),
        )


def _as_handed_over(service: Service, db: sqlite3.Connection, row: Row, now: Desk) -> Desk:
    left = [happened.seq for happened, _ in now.state.each(TakenOver)]
    return as_of(service, db, row, left[0] - 1) if left else now


def _number(service: Service, db: sqlite3.Connection, job: str) -> int:
    row = keeping.job(db, service.site, job) if job else None
    return int(row["number"]) if row else 0


def _with_name(line: AlongLine, names: dict[str, str]) -> AlongLine:
    """Records know people by their ids; paper knows them by their names."""
    found = next((one for one in names if line.place == f"held by {one}"), None)
    return line if found is None else replace(line, place=f"held by {names[found]}")
