"""A later job takes over one that ended incomplete: its pieces, its tags, what is known of it.

In two transactions, because two jobs are never written in one. The first lets everything out of
the old book and names the job that is to come; the second opens that job with it. Cut short between
the two, the same request sent again finishes what was begun.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass

from partsvc.domain.desk import Desk, Doing, Draft
from partsvc.domain.effects_endings import TakenOver
from partsvc.domain.endings import handed_over, taken_over_by
from partsvc.domain.ledger import Entry
from partsvc.domain.places import Gate
from partsvc.domain.taken_over import coming_in, goes_along, is_left
from partsvc.errors import Conflict, Invalid, Refused
from partsvc.store import acts as act_store
from partsvc.store import endings, keeping
from partsvc.store.database import Row
from partsvc.work import clock
from partsvc.work.as_of import as_of
from partsvc.work.facts import job_desk, job_row
from partsvc.work.openings import add_empty_job, post_opening
from partsvc.work.recording import append
from partsvc.work.service import Sender, Service


@dataclass(frozen=True, slots=True, kw_only=True)
class Takeover:
    """A job that is to begin with what is left of an old one; empty members are as there."""

    old: str
    title: str
    vehicle: str = ""
    procedure: str = ""
    revision: int | None = None
    needed_by: str = ""


def let_go(service: Service, sender: Sender, wanted: Takeover) -> None:
    """Let everything out of the old job, once; nothing more is done when it has left before.

    Refused while the old job did not end by a hand-over, Invalid for another vehicle or plan.
    """
    with service.database.writing() as db:
        old = job_row(service, db, wanted.old)
        _same_vehicle_and_plan(old, wanted)
        desk = job_desk(service, db, old)
        if taken_over_by(desk.state):
            return
        if handed_over(desk.state) is None:
            raise Refused(
                "not-handed-over",
                f"Job {old['number']} is {old['state']}. Only a job that was handed over "
                "incomplete is taken over.",
                may_be_recorded=False,
                members={"job": wanted.old},
            )
        _post_leaving(service, db, desk, sender)


def _same_vehicle_and_plan(old: Row, wanted: Takeover) -> None:
    if wanted.vehicle not in ("", old["vehicle"]):
        raise Invalid(
            f"Job {old['number']} is of another vehicle. Leave `vehicle` out.", field="vehicle"
        )
    other_plan = wanted.procedure not in ("", old["procedure"])
    if other_plan or wanted.revision not in (None, old["revision"]):
        raise Invalid(
            "The positions keep their names, so the plan is that of the old job. Leave "
            "`procedure` and `revision` out.",
            field="procedure",
        )


def _post_leaving(service: Service, db: sqlite3.Connection, desk: Desk, sender: Sender) -> None:
    at, key = service.stamp(), clock.new_key()
    doing = Doing(
        key=key,
        kind="taken-over",
        by=sender.person,
        recorded_by=sender.person,
        roles=sender.roles,
        at=at,
    )
    draft = Draft.begun(desk, doing)
    own = (one for one in list(draft.book.holdings()) if one.spot.account == desk.account)
    for held in own:
        if held.quantity > 0 and is_left(held.spot.place.kind):
            draft.gate_out(held, gate=Gate.OTHER_JOB)
    new = clock.new_id("j")
    draft.effect(TakenOver(job=new))
    append(
        service,
        db,
        account=desk.account,
        doing=doing,
        drafted=draft.finished(),
        sent_by=sender.device,
        received_at=at,
        payload={"key": key, "kind": "taken-over", "by_job": new},
    )


def come_in(service: Service, db: sqlite3.Connection, sender: Sender, wanted: Takeover) -> str:
    """Open the job that the old one names, with all that left it; answers its id.

    Conflict when that job is there already.
    """
    old = job_row(service, db, wanted.old)
    after = job_desk(service, db, old)
    job, seq = _named(after)
    there = keeping.job(db, service.site, job)
    if there is not None:
        raise Conflict(
            f"Job {there['number']} took over job {old['number']} already. Go on there.", job=job
        )
    before = as_of(service, db, old, seq - 1)
    add_empty_job(
        service,
        db,
        job,
        title=wanted.title,
        vehicle=old["vehicle"],
        procedure=old["procedure"],
        revision=old["revision"],
        needed_by=wanted.needed_by,
    )
    endings.add_takeover(db, service.site, old=wanted.old, new=job, old_number=old["number"])
    endings.move_tags(db, service.site, old=wanted.old, new=job)
    left: tuple[Entry, ...] = act_store.entries_of_act(db, service.site, wanted.old, seq)
    post_opening(
        service,
        db,
        job,
        sender,
        entries=coming_in(left, job),
        effects=goes_along(before, number=old["number"]),
        said={
            "procedure": old["procedure"],
            "revision": old["revision"],
            "takes_over": wanted.old,
        },
    )
    return job


def _named(after: Desk) -> tuple[str, int]:
    """The job that is to take over, and the number of the act that let everything go."""
    found = list(after.state.each(TakenOver))
    if not found:
        raise RuntimeError(f"job {after.account} was not let go before it is taken over")
    happened, said = found[-1]
    return said.job, happened.seq
