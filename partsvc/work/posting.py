"""Posts acts: one immediate transaction each, acknowledged only when durable.

The sender names the act by its key. The same key with the same content gets the same answer again,
so a lost answer is mended by sending again. A refusal does not use the key up; it is kept beside
the ledger with who, on which device, and why.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace

from partsvc.domain.acts.fields import Envelope
from partsvc.domain.acts.kinds import ActKind, Needs
from partsvc.domain.acts.registry import judge
from partsvc.domain.acts.standing_rules import may_supervise
from partsvc.domain.desk import WORKSHOP, Desk, Doing, Draft
from partsvc.domain.records import Plain
from partsvc.errors import (
    InProgress,
    Invalid,
    KeyReused,
    NotAllowed,
    NotFound,
    PartsvcError,
)
from partsvc.store import acts as act_store
from partsvc.store import people
from partsvc.work import (
    clock,
    facts,
    facts_of_supply,
    naming,
    refusals,
    supply_index,
    working_alone,
)
from partsvc.work.asked import Payload, in_one_spelling, read_request, request_digest
from partsvc.work.facts_of_bags import with_bags
from partsvc.work.facts_of_holds import with_equipment
from partsvc.work.other_books import with_bay, with_other_books
from partsvc.work.recording import write
from partsvc.work.service import Sender, Service


@dataclass(frozen=True, slots=True)
class Answer:
    """What the sender gets: the status and the body, and whether it was given before."""

    status: int
    body: dict[str, Plain]
    again: bool = False


def post(service: Service, account: str, sender: Sender, payload: Payload) -> Answer:
    """Record one act on a job's account, or on the workshop's own."""
    payload = in_one_spelling(payload)
    try:
        _, envelope, _, _ = read_request(payload)
        digest = request_digest(account, payload)
        with _under_way(service, envelope.key), service.database.writing() as db:
            before = _answered(service, db, envelope.key, digest)
            if before is not None:
                answer = before
            else:
                body = carry_out(service, db, account, sender, payload)
                _keep_answer(service, db, envelope.key, digest, body)
                answer = Answer(201, body)
    except PartsvcError as problem:
        refusals.keep(service, account, sender, payload, problem)
        naming.call_by_names(service, problem)
        raise
    return replace(answer, body=naming.body_in_names(service, answer.body))


def carry_out(
    service: Service, db: sqlite3.Connection, account: str, sender: Sender, payload: Payload
) -> dict[str, Plain]:
    """Judge one act and write it, within a transaction that is under way; answers its body."""
    kind, envelope, request, codes = read_request(payload)
    _allowed(kind, sender)
    desk = desk_for(service, db, account, kind, request, codes)
    if envelope.amends:
        desk = facts.with_refused(service, db, desk)
    doing = _doing(service, db, desk, kind, envelope, sender)
    draft = Draft.begun(desk, doing)
    judge(draft, kind, request)
    drafted = draft.finished()
    body = write(service, db, draft, drafted, envelope, sender, payload)
    supply_index.bring_along(service, db, draft, drafted, request)
    return body


@contextmanager
def _under_way(service: Service, key: str) -> Iterator[None]:
    with service.in_flight_guard:
        if key in service.in_flight:
            raise InProgress(
                "This act is being recorded right now. Send it again in a second to get its "
                "answer.",
                key=key,
            )
        service.in_flight.add(key)
    try:
        yield
    finally:
        with service.in_flight_guard:
            service.in_flight.discard(key)


def _answered(service: Service, db: sqlite3.Connection, key: str, digest: str) -> Answer | None:
    row = people.answer(db, service.site, key)
    if row is None and act_store.act_by_key(db, service.site, key) is None:
        return None
    # The service's own acts (an opening, a note) have a key too, and were never asked for.
    if row is None or row["request_hash"] != digest:
        raise KeyReused(
            "An act with this key but other content is in the book already. Give the new act a "
            "key of its own.",
            key=key,
        )
    return Answer(row["status"], json.loads(row["body"]), again=True)


def _allowed(kind: ActKind, sender: Sender) -> None:
    if not kind.roles & sender.roles:
        may = ", ".join(sorted(kind.roles))
        raise NotAllowed(
            f"“{kind.kind}” is recorded by: {may}. Ask one of them to sign in.", kind=kind.kind
        )


def desk_for(
    service: Service,
    db: sqlite3.Connection,
    account: str,
    kind: ActKind,
    request: object,
    codes: tuple[str, ...],
) -> Desk:
    """The desk with all that this kind of act is judged by."""
    own = "workshop" if account == WORKSHOP else "job"
    if own not in kind.accounts:
        where = "the workshop's own account" if own == "job" else "a job"
        raise Invalid(f"“{kind.kind}” is recorded on {where}.", field="kind")
    if account == WORKSHOP:
        desk = facts_of_supply.store_desk(service, db, kind, request)
        desk = with_bay(service, db, facts.with_tags(service, db, desk, codes))
        return with_other_books(service, db, desk, kind, request)
    job = facts.job_row(service, db, account)
    desk = facts.job_desk(service, db, job, look_back=Needs.HISTORY in kind.needs)
    desk = facts.with_tags(service, db, desk, codes)
    desk = facts.with_store(service, db, desk, request)
    desk = with_bags(service, db, desk, kind, request, codes)
    if Needs.TOUCHED in kind.needs:
        desk = facts.with_touched(service, db, desk)
    if Needs.CAME_OFF in kind.needs:
        desk = facts.with_came_off(service, db, desk)
    if Needs.WORKED_AT in kind.needs:
        desk = facts.with_workers_at(service, db, desk, request)
    if Needs.HANDS in kind.needs:
        desk = facts.with_hands(service, db, desk)
    desk = facts_of_supply.with_supply(service, db, desk, kind, request)
    desk = with_equipment(service, db, desk, kind, request)
    if Needs.REFUSED in kind.needs:
        desk = facts.with_refused(service, db, desk)
    if Needs.PHOTOS in kind.needs:
        desk = facts.with_photo(service, db, desk, request)
    if Needs.PAST in kind.needs:
        desk = facts.with_past(service, db, desk, getattr(request, "act", ""))
    return with_other_books(service, db, desk, kind, request)


def _doing(
    service: Service,
    db: sqlite3.Connection,
    desk: Desk,
    kind: ActKind,
    envelope: Envelope,
    sender: Sender,
) -> Doing:
    by = envelope.by or sender.person
    if by not in desk.people:
        raise NotFound(f"Nobody here is called {by}. Leave `by` out if you did it.", by=by)
    if envelope.supervised_by:
        may_supervise(desk, envelope.supervised_by, by=by)
    at = _done_at(service, envelope)
    return Doing(
        key=envelope.key,
        kind=kind.kind,
        by=by,
        recorded_by=sender.person,
        roles=sender.roles,
        at=at,
        already_done=envelope.already_done.reason if envelope.already_done else "",
        supervised_by=envelope.supervised_by or "",
        alone=envelope.alone.reason if envelope.alone else "",
        alone_permitted=bool(envelope.alone) and working_alone.is_permitted(service, db),
        amends=envelope.amends or "",
        day=clock.day_of(at, service.zone),
        photos=envelope.photos,
    )


def _done_at(service: Service, envelope: Envelope) -> str:
    """When it was done, corrected by the device's clock offset; now if it does not say."""
    if envelope.done_at is None:
        return service.stamp()
    try:
        moment = clock.read_time(envelope.done_at, offset_ms=envelope.clock_offset_ms or 0)
        return clock.stamp(moment)
    except (ValueError, OverflowError) as odd:
        raise Invalid("`done_at` is no time of any calendar.", field="done_at") from odd


def _keep_answer(
    service: Service, db: sqlite3.Connection, key: str, digest: str, body: dict[str, Plain]
) -> None:
    people.add_answer(
        db,
        service.site,
        key=key,
        request_hash=digest,
        status=201,
        body=json.dumps(body, ensure_ascii=False),
        at=service.stamp(),
    )
