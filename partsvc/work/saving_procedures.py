"""Saves what was learnt on one job as the procedure of the next."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass, replace
from typing import Annotated

from partsvc.domain.job_as_procedure import as_procedure, unnamed
from partsvc.domain.plan import Plan
from partsvc.domain.procedure_file import plain_plan
from partsvc.domain.records import Faulty, Id, Line, Says, decode
from partsvc.errors import Conflict, Invalid, Refused
from partsvc.store import keeping
from partsvc.work import procedures
from partsvc.work.facts import job_desk, job_row, pinned_plan
from partsvc.work.job_view import ranks
from partsvc.work.procedures import RevisionShown
from partsvc.work.service import Sender, Service


@dataclass(frozen=True, slots=True, kw_only=True)
class SaveAs:
    """Under which key and title a job's plan is kept."""

    key: Annotated[Id, Says("the procedure's key: a new one, or the one the job was opened on")]
    title: Line


def save_as_procedure(
    service: Service,
    sender: Sender,
    job: str,
    key: str,
    title: str,
    *,
    db: sqlite3.Connection | None = None,
) -> RevisionShown:
    """The plan of a job, finished or running, as a procedure: a new one, or a new revision.

    The plan is the revision the job was opened on with all that was added and corrected since. A
    step added while stripping waits, next time, for the step that was begun just before it in the
    same zone (see `job_as_procedure`). Refused while parts have no number, naming each by its
    step and position; Conflict when the key belongs to a procedure that this job was not opened
    on; BadFile when the plan could not be worked.
    """
    if db is None:
        with service.database.writing() as own:
            return save_as_procedure(service, sender, job, key, title, db=own)
    row = job_row(service, db, job)
    desk = job_desk(service, db, row)
    if row["procedure"] != key and keeping.revision(db, service.site, key) is not None:
        raise Conflict(
            f"There is a procedure {key} already, and this job was not opened on it. Take another "
            "key.",
            key=key,
        )
    _all_named(desk.plan)
    planned, _ = pinned_plan(service, db, row)
    order = ranks(service, db, desk)
    plan = as_procedure(desk.plan, planned=planned, ranks=order, key=key, title=title)
    shown, _ = procedures.add(service, db, sender, _well_formed(plan))
    return shown


def _all_named(plan: Plan) -> None:
    missing = unnamed(plan)
    if missing:
        counted = "One part has" if len(missing) == 1 else f"{len(missing)} parts have"
        raise Refused(
            "parts-not-named",
            f"{counted} no number yet; the first: {missing[0].where}. Name them with `identify`, "
            "then save again.",
            may_be_recorded=False,
            members={"missing": tuple({"where": o.where, "says": o.says} for o in missing)},
        )


def _well_formed(plan: Plan) -> Plan:
    """The plan with the key and title it was given, which are the only things typed here."""
    try:
        decode(Plan, plain_plan(replace(plan, steps=())))
    except Faulty as faulty:
        raise Invalid(f"{faulty}. Nothing was saved.", field=faulty.faults[0].where) from faulty
    return plan
