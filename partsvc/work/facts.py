"""Reads what an act is judged by: the desk of a job, in a handful of queries."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from dataclasses import replace

from partsvc.domain.accepted_numbers import accepting
from partsvc.domain.desk import WORKSHOP, Desk, PastAct, TagFacts
from partsvc.domain.job_plan import begun, job_plan
from partsvc.domain.job_state import fold
from partsvc.domain.ledger import Book
from partsvc.domain.plan import EMPTY, Plan
from partsvc.domain.temporaries import temporary_part
from partsvc.domain.use_counts import limited_numbers
from partsvc.errors import NotFound
from partsvc.store import acts as act_store
from partsvc.store import balances, histories, keeping, people, photos
from partsvc.store.database import Row
from partsvc.work import other_books, refusals
from partsvc.work.service import Service, parts_of, plan_from


def job_row(service: Service, db: sqlite3.Connection, job: str) -> Row:
    """The job, or NotFound."""
    row = keeping.job(db, service.site, job)
    if row is None:
        raise NotFound(f"There is no job {job}. Look at the list of jobs.", job=job)
    return row


def pinned_plan(service: Service, db: sqlite3.Connection, job: Row) -> tuple[Plan, str]:
    """The procedure revision a job was opened on, with its hash; empty if it has none."""
    if not job["procedure"]:
        return EMPTY, ""
    row = keeping.revision(db, service.site, job["procedure"], job["revision"])
    if row is None:
        raise RuntimeError(f"job {job['id']} is pinned to a revision that is not there")
    return begun(plan_from(row["text"])), row["hash"]


def job_desk(
    service: Service,
    db: sqlite3.Connection,
    job: Row,
    *,
    look_back: bool = False,
) -> Desk:
    """Everything about one job; `look_back` also reads its entries and who worked."""
    account = job["id"]
    pinned, plan_hash = pinned_plan(service, db, job)
    happened = act_store.effects(db, service.site, account)
    parts = parts_of(service, db)
    plan = job_plan(pinned, (item.effect for item in happened))
    plan = accepting(plan, (item.effect for item in happened), parts)
    staff = people.people(db, service.site)
    desk = Desk(
        account=account,
        plan=plan,
        state=fold(happened),
        happened=tuple(happened),
        book=Book(balances.of_account(db, service.site, account)),
        parts=parts,
        people=_roles(staff),
        names={row["id"]: row["name"] or row["login"] for row in staff},
        qualified=_qualifications(staff),
        head=job["head"],
        plan_hash=plan_hash,
        zone=service.zone,
        now=service.stamp(),
    )
    return _looked_back(service, db, desk) if look_back else desk


def workshop_desk(service: Service, db: sqlite3.Connection) -> Desk:
    """Everything about the workshop's own account that an act needs."""
    found = act_store.head(db, service.site, WORKSHOP)
    staff = people.people(db, service.site)
    happened = act_store.effects(db, service.site, WORKSHOP)
    return Desk(
        account=WORKSHOP,
        plan=EMPTY,
        state=fold(happened),
        happened=tuple(happened),
        book=Book(),
        parts=parts_of(service, db),
        people=_roles(staff),
        qualified=_qualifications(staff),
        head=found[1] if found else "",
    )


def _looked_back(service: Service, db: sqlite3.Connection, desk: Desk) -> Desk:
    return replace(
        desk,
        posted=act_store.posted(db, service.site, desk.account, live_only=True),
        touched=act_store.touched(db, service.site, desk.account),
        workers=act_store.workers(db, service.site, desk.account),
        said_elsewhere=other_books.said_elsewhere(service, db, desk.account),
        refused=refusals.waiting(service, db, desk.account, desk.state),
        acts=act_store.acts_done(db, service.site, desk.account),
    )


def with_store(service: Service, db: sqlite3.Connection, desk: Desk, request: object) -> Desk:
    """The desk, its book knowing what the store has of the parts that an act may need."""
    return _knowing_store(service, db, desk, store_parts(desk.plan, request))


def _knowing_store(
    service: Service, db: sqlite3.Connection, desk: Desk, parts: Iterable[str]
) -> Desk:
    for held in balances.in_store(db, service.site, parts):
        desk.book.hold(held)
    return desk


def with_came_off(service: Service, db: sqlite3.Connection, desk: Desk) -> Desk:
    """The desk, knowing which positions were taken apart before."""
    return replace(desk, came_off=act_store.came_off(db, service.site, desk.account))


def with_photo(service: Service, db: sqlite3.Connection, desk: Desk, request: object) -> Desk:
    """The desk, knowing whether the photo that an act names is one of this job's."""
    named = getattr(request, "photo", None)
    if isinstance(named, str) and photos.is_of_job(db, service.site, desk.account, named):
        return replace(desk, photos=frozenset({named}))
    return desk


def with_touched(service: Service, db: sqlite3.Connection, desk: Desk) -> Desk:
    """The desk, knowing when each bag was last moved from or into."""
    return replace(desk, touched=act_store.touched(db, service.site, desk.account))


def with_uses(service: Service, db: sqlite3.Connection, desk: Desk) -> Desk:
    """The desk, knowing its entries when some pieces of the plan may be used so many times only."""
    if desk.posted or not limited_numbers(desk.plan):
        return desk
    posted = act_store.posted(db, service.site, desk.account, live_only=True)
    return replace(desk, posted=posted)


def with_hands(service: Service, db: sqlite3.Connection, desk: Desk) -> Desk:
    """The desk, knowing who took pieces off, put them back, lost or broke them."""
    return replace(desk, hands=histories.hands(db, service.site, desk.account))


def with_workers_at(service: Service, db: sqlite3.Connection, desk: Desk, request: object) -> Desk:
    """The desk, knowing who worked at the position an act names, or at those of its step."""
    step = desk.plan.step_of.get(getattr(request, "step", None) or "")
    named = getattr(request, "position", None)
    several: tuple[str, ...] = getattr(request, "positions", ())
    asked = several or ([named] if named else [one.id for one in step.positions] if step else [])
    found = act_store.worked_at(db, service.site, desk.account, asked)
    return replace(desk, worked_at=found)


def with_refused(service: Service, db: sqlite3.Connection, desk: Desk) -> Desk:
    """The desk, knowing the queued acts that were refused and still wait to be put right."""
    waiting = refusals.waiting(service, db, desk.account, desk.state)
    return replace(desk, refused=waiting)


def with_past(service: Service, db: sqlite3.Connection, desk: Desk, key: str) -> Desk:
    """The desk, knowing one past act that a new one names."""
    row = act_store.act_by_key(db, service.site, key)
    if row is None or row["account"] != desk.account:
        return desk
    past = PastAct(
        seq=row["seq"],
        key=row["key"],
        kind=row["kind"],
        by=row["done_by"],
        entries=act_store.entries_of_act(db, service.site, desk.account, row["seq"]),
        reverses=row["reverses"] or "",
        reversed_by=act_store.reversal_of(db, service.site, desk.account, key),
    )
    # What went back to the store is undone from there: the book must know what lies there.
    parts = {entry.part for entry in past.entries}
    return _knowing_store(service, db, replace(desk, past={key: past}), parts)


def with_tags(service: Service, db: sqlite3.Connection, desk: Desk, codes: Iterable[str]) -> Desk:
    """The desk, knowing the tags that an act names."""
    rows = keeping.tags(db, service.site, codes)
    facts = {row["code"]: tag_facts(service, db, row, desk.account) for row in rows}
    return replace(desk, tags=facts)


def tag_facts(service: Service, db: sqlite3.Connection, row: Row, account: str) -> TagFacts:
    """What is known of one tag; another job's is told by its number and step."""
    belongs = ""
    if row["account"] not in ("", account):
        belongs = _belongs(service, db, row)
    return TagFacts(
        code=row["code"],
        account=row["account"],
        void=bool(row["void_reason"]),
        void_because=row["void_reason"],
        kind=row["kind"],
        words=row["words"],
        belongs=belongs,
    )


def _belongs(service: Service, db: sqlite3.Connection, row: Row) -> str:
    if row["account"] == WORKSHOP:
        return "the workshop, for what was found in the bay"
    words = f"job {row['job_number']}"
    other = keeping.job(db, service.site, row["account"])
    if other is None:
        return words
    plan, _ = pinned_plan(service, db, other)
    for held in balances.in_bag(db, service.site, row["account"], row["code"]):
        step = plan.home_step.get(held.spot.lot)
        if step is not None:
            return f"step {step.number} of {words}"
    return words


def _roles(staff: Iterable[Row]) -> dict[str, frozenset[str]]:
    """Everybody's roles, of those who work here now."""
    return {row["id"]: frozenset(row["roles"].split()) for row in staff if row["active"]}


def _qualifications(staff: Iterable[Row]) -> dict[str, frozenset[str]]:
    """What everybody may do by training."""
    return {row["id"]: frozenset(row["qualifications"].split()) for row in staff}


def store_parts(plan: Plan, request: object) -> set[str]:
    """The parts whose stock an act may touch: those it names, and a step's temporary items."""
    named = {
        value
        for name in ("part", "new_part")
        if isinstance(value := getattr(request, name, None), str)
    }
    step = plan.step_of.get(getattr(request, "step", None) or "")
    temporaries = step.temporaries if step else ()
    return named | {temporary_part(one) for one in temporaries}
