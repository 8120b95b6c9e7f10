"""Posts acts: one immediate transaction each, acknowledged only when durable.

The sender names the act by its key. The same key with the same content gets the same answer again,
so a lost answer is mended by sending again. A refusal does not use the key up; it is kept beside
the ledger with who, on which device, and why.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, fields, replace
from typing import cast

from partsvc.domain.acts.codes import read_codes
from partsvc.domain.acts.fields import Envelope
from partsvc.domain.acts.registry import KIND_OF, ActKind, judge
from partsvc.domain.canonical import (
    Json,
    NotCanonical,
    canonical_text,
    chain_hash,
    normalised,
)
from partsvc.domain.desk import WORKSHOP, Desk, Doing, Draft, Drafted
from partsvc.domain.effects import (
    Effect,
    Released,
    Reopened,
    TagUsed,
    from_plain,
    name_of,
    plain,
)
from partsvc.domain.ledger import Book, Entry, Spot
from partsvc.domain.places import PlaceKind
from partsvc.domain.records import Faulty, Plain, decode
from partsvc.errors import (
    InProgress,
    Invalid,
    KeyReused,
    NotAllowed,
    NotFound,
    PartsvcError,
    Refused,
)
from partsvc.store import acts as act_store
from partsvc.store import keeping, people
from partsvc.work import clock, facts
from partsvc.work.service import Sender, Service

MOST_IN_A_BATCH = 200
ENVELOPE = tuple(item.name for item in fields(Envelope))
Payload = Mapping[str, Plain]


@dataclass(frozen=True, slots=True)
class Answer:
    """What the sender gets: the status and the body, and whether it was given before."""

    status: int
    body: dict[str, Plain]
    again: bool = False


def post(service: Service, account: str, sender: Sender, payload: Payload) -> Answer:
    """Record one act on a job's account, or on the workshop's own."""
    payload = _in_one_spelling(payload)
    kind, envelope, request, codes = read_request(payload)
    digest = request_digest(account, payload)
    try:
        with _under_way(service, envelope.key), service.database.writing() as db:
            before = _answered(service, db, envelope.key, digest)
            if before is not None:
                return before
            _allowed(kind, sender)
            desk = desk_for(service, db, account, kind, request, codes)
            doing = _doing(service, desk, kind, envelope, sender)
            draft = Draft.begun(desk, doing)
            judge(draft, kind, request)
            drafted = draft.finished()
            body = _write(service, db, draft, drafted, envelope, sender, payload)
            _keep_answer(service, db, envelope.key, digest, body)
            return Answer(201, body)
    except Refused as refused:
        _keep_refused(service, account, sender, payload, refused)
        raise


def read_request(payload: Payload) -> tuple[ActKind, Envelope, object, tuple[str, ...]]:
    """The kind, the envelope and the request itself, with its tag codes read.

    Raises `Invalid` naming the field, `Mistyped` for a code that fails its check.
    """
    name = payload.get("kind")
    kind = KIND_OF.get(name) if isinstance(name, str) else None
    if kind is None:
        raise Invalid(f"`kind` must be one of: {', '.join(KIND_OF)}.", field="kind")
    enveloped = {key: payload[key] for key in payload if key in ENVELOPE}
    own = {key: payload[key] for key in payload if key not in ENVELOPE and key != "kind"}
    try:
        envelope = decode(Envelope, enveloped)
        request: object = decode(kind.request, own)
    except Faulty as faulty:
        first = faulty.faults[0]
        raise Invalid(
            f"{faulty}. Nothing was recorded.",
            field=first.where,
            faults=tuple({"where": one.where, "says": one.says} for one in faulty.faults),
        ) from faulty
    request, codes = read_codes(request)
    return kind, envelope, request, codes


def _in_one_spelling(payload: Payload) -> Payload:
    """The request in the spelling it will be recorded in; `Invalid` for what has no record.

    Judged before that, a part written in another Unicode form would be another part in the
    balances than in the act's own text.
    """
    plain = normalised(dict(payload))
    _recorded_as(plain)
    return cast(Payload, plain)


def _recorded_as(value: Json) -> str:
    try:
        return canonical_text(value)
    except NotCanonical as odd:
        raise Invalid(f"{odd}. Nothing was recorded.", field=odd.path) from odd


def request_digest(account: str, payload: Payload) -> str:
    """What tells two requests with the same key apart."""
    text = _recorded_as({"account": account, "act": normalised(dict(payload))})
    return hashlib.sha256(text.encode()).hexdigest()


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
    if (kind.account == "workshop") != (account == WORKSHOP):
        where = "the workshop's own account" if kind.account == "workshop" else "a job"
        raise Invalid(f"“{kind.kind}” is recorded on {where}.", field="kind")
    if account == WORKSHOP:
        return facts.workshop_desk(service, db)
    job = facts.job_row(service, db, account)
    desk = facts.job_desk(service, db, job, look_back=kind.kind in facts.LOOK_BACK)
    desk = facts.with_tags(service, db, desk, codes)
    desk = facts.with_store(service, db, desk, request)
    if kind.kind in ("count", "adjust"):
        desk = facts.with_touched(service, db, desk)
    if kind.kind == "confirm":
        desk = facts.with_workers_at(service, db, desk, request)
    if kind.kind == "reverse":
        desk = facts.with_past(service, db, desk, getattr(request, "act", ""))
    return desk


def _doing(
    service: Service, desk: Desk, kind: ActKind, envelope: Envelope, sender: Sender
) -> Doing:
    by = envelope.by or sender.person
    if by not in desk.people:
        raise NotFound(f"Nobody here is called {by}. Leave `by` out if you did it.", by=by)
    return Doing(
        key=envelope.key,
        kind=kind.kind,
        by=by,
        recorded_by=sender.person,
        roles=sender.roles,
        at=_done_at(service, envelope),
        already_done=envelope.already_done.reason if envelope.already_done else "",
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


def _write(
    service: Service,
    db: sqlite3.Connection,
    draft: Draft,
    drafted: Drafted,
    envelope: Envelope,
    sender: Sender,
    payload: Payload,
) -> dict[str, Plain]:
    """Append the act to its chain and bring the indexes along; answers the body for the sender."""
    received_at = service.stamp()
    row = append(
        service,
        db,
        account=draft.desk.account,
        doing=draft.doing,
        drafted=drafted,
        sent_by=sender.device,
        received_at=received_at,
        device_seq=envelope.device_seq,
        payload=payload,
    )
    _index(service, db, draft.desk.account, drafted)
    if drafted.note_for_workshop is not None:
        _note_for_workshop(service, db, draft, drafted.note_for_workshop, sender, received_at)
    return _body(draft, drafted, row)


def append(
    service: Service,
    db: sqlite3.Connection,
    *,
    account: str,
    doing: Doing,
    drafted: Drafted,
    sent_by: str,
    received_at: str,
    payload: Payload,
    device_seq: int | None = None,
) -> act_store.ActRow:
    """Write one act as the next of its account's chain."""
    found = act_store.head(db, service.site, account)
    if found is None:
        raise NotFound(f"There is no account {account}.", job=account)
    seq, previous = found[0] + 1, found[1]
    effects = tuple(_spelled_once(effect) for effect in drafted.effects)
    text = canonical_text(
        normalised(
            {
                "format": act_store.FORMAT,
                "site": service.site,
                "account": account,
                "seq": seq,
                "key": doing.key,
                "kind": doing.kind,
                "by": doing.by,
                "recorded_by": doing.recorded_by,
                "sent_by": sent_by,
                "done_at": doing.at,
                "received_at": received_at,
                "device_seq": device_seq,
                "step": drafted.step or None,
                "reverses": drafted.reverses or None,
                "request": dict(payload),
                "entries": [entry_plain(entry) for entry in drafted.entries],
                "effects": [effect_plain(effect) for effect in effects],
            }
        )
    )
    row = act_store.ActRow(
        account=account,
        seq=seq,
        key=doing.key,
        kind=doing.kind,
        done_by=doing.by,
        recorded_by=doing.recorded_by,
        sent_by=sent_by,
        done_at=doing.at,
        received_at=received_at,
        device_seq=device_seq,
        step=drafted.step,
        reverses=drafted.reverses,
        text=text,
        hash=chain_hash(previous, text),
    )
    act_store.write_act(db, service.site, row, entries=drafted.entries, effects=effects)
    return row


def _spelled_once(effect: Effect) -> Effect:
    """The effect as the act's text has it: words put together may need their spelling settled."""
    return from_plain(name_of(effect), cast(dict[str, Plain], normalised(plain(effect))))


def _index(service: Service, db: sqlite3.Connection, account: str, drafted: Drafted) -> None:
    """Bring along what is kept beside the ledger for quick reading."""
    for effect in drafted.effects:
        match effect:
            case TagUsed():
                keeping.claim_tag(db, service.site, effect.tag, account, effect.kind)
            case Released():
                keeping.set_job_state(db, service.site, account, "released")
            case Reopened():
                keeping.set_job_state(db, service.site, account, "open")
            case _:
                continue


def _note_for_workshop(
    service: Service,
    db: sqlite3.Connection,
    draft: Draft,
    note: Effect,
    sender: Sender,
    received_at: str,
) -> None:
    doing = replace(draft.doing, key=clock.new_key(), kind="note")
    drafted = Drafted(entries=(), effects=(note,), warnings=())
    append(
        service,
        db,
        account=WORKSHOP,
        doing=doing,
        drafted=drafted,
        sent_by=sender.device,
        received_at=received_at,
        payload={"key": doing.key, "kind": "note"},
    )


def spot_plain(spot: Spot) -> dict[str, Plain]:
    """A spot as records and answers have it."""
    return {
        "account": spot.account,
        "place": str(spot.place),
        "condition": spot.condition.value,
        "lot": spot.lot,
    }


def entry_plain(entry: Entry) -> dict[str, Plain]:
    """An entry as records and answers have it."""
    return {
        "part": entry.part,
        "quantity": entry.quantity,
        "from": spot_plain(entry.source),
        "to": spot_plain(entry.target),
    }


def effect_plain(effect: Effect) -> dict[str, Plain]:
    """An effect as records and answers have it."""
    return {"effect": name_of(effect), **plain(effect)}


def _body(draft: Draft, drafted: Drafted, row: act_store.ActRow) -> dict[str, Plain]:
    return {
        "account": row.account,
        "seq": row.seq,
        "key": row.key,
        "kind": row.kind,
        "head": row.hash,
        "entries": [entry_plain(entry) for entry in drafted.entries],
        "effects": [effect_plain(effect) for effect in drafted.effects],
        "balances": _balances(draft.book, drafted.entries),
        "warnings": list(drafted.warnings),
    }


def _balances(book: Book, entries: tuple[Entry, ...]) -> list[Plain]:
    """What lies now at every spot the act touched, the gate left out."""
    spots = {
        (entry.part, spot)
        for entry in entries
        for spot in (entry.source, entry.target)
        if spot.place.kind is not PlaceKind.OUTSIDE
    }
    return [
        {"part": part, **spot_plain(spot), "quantity": book.quantity(part, spot)}
        for part, spot in sorted(spots)
    ]


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


def _keep_refused(
    service: Service, account: str, sender: Sender, payload: Payload, refused: Refused
) -> None:
    with service.database.writing() as db:
        people.add_refused(
            db,
            service.site,
            ident=clock.new_id("r"),
            account=account,
            key=str(payload.get("key", "")),
            kind=str(payload.get("kind", "")),
            done_by=str(payload.get("by") or sender.person),
            recorded_by=sender.person,
            sent_by=sender.device,
            reason=refused.reason,
            detail=refused.detail,
            text=canonical_text(normalised(dict(payload))),
            at=service.stamp(),
        )


@dataclass(frozen=True, slots=True)
class Item:
    """The answer to one act of a batch: recorded, refused, or held back behind a refused one."""

    key: str
    answer: Answer | None = None
    problem: PartsvcError | None = None
    held_by: str = ""


def post_batch(
    service: Service, account: str, sender: Sender, payloads: list[Payload]
) -> list[Item]:
    """Record acts in order, each its own transaction; one refused holds back what builds on it."""
    if len(payloads) > MOST_IN_A_BATCH:
        raise Invalid(
            f"{len(payloads)} acts in one batch; at most {MOST_IN_A_BATCH} are taken. Send them "
            "in several batches, in order.",
            field="acts",
        )
    blocked: dict[str, str] = {}
    items: list[Item] = []
    for payload in payloads:
        item = _batch_item(service, account, sender, payload, blocked)
        if item.answer is None:
            named = (*subjects(payload), *_begets(item.key))
            blocked.update(dict.fromkeys(named, item.held_by or item.key))
        items.append(item)
    return items


def _batch_item(
    service: Service,
    account: str,
    sender: Sender,
    payload: Payload,
    blocked: Mapping[str, str],
) -> Item:
    key = str(payload.get("key", ""))
    held_by = next((blocked[one] for one in subjects(payload) if one in blocked), "")
    if held_by:
        return Item(key, held_by=held_by)
    try:
        return Item(key, answer=post(service, account, sender, payload))
    except PartsvcError as problem:
        return Item(key, problem=problem)


_SUBJECTS = (
    "position", "bag", "into", "old_parts", "bags", "tags", "act", "count", "hold", "step", "what",
)  # fmt: skip


def subjects(payload: Payload) -> tuple[str, ...]:
    """What an act is about, for telling which acts of a batch build on each other."""
    found: list[str] = []
    for name in _SUBJECTS:
        value = payload.get(name)
        for one in value if isinstance(value, list) else [value]:
            if isinstance(one, str):
                found.append(_plain_code(one))
    return tuple(found)


def _begets(key: str) -> tuple[str, ...]:
    """What later acts of a batch would call this one, and the position or step it adds."""
    return tuple(map(_plain_code, (key, f"x{key[:13]}", f"s{key[:13]}")))


def _plain_code(text: str) -> str:
    return text.replace("-", "").replace(" ", "").upper()
