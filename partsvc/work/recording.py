"""Writes an act as the next of its account's chain, and what the sender is told of it."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import replace
from typing import cast

from partsvc.domain.acts.fields import Envelope
from partsvc.domain.canonical import (
    canonical_text,
    chain_hash,
    normalised,
)
from partsvc.domain.desk import WORKSHOP, Doing, Draft, Drafted, shown_bag
from partsvc.domain.effects import (
    Effect,
    Released,
    Reopened,
    TagUsed,
    from_plain,
    name_of,
    plain,
)
from partsvc.domain.effects_bags import TagGoodAgain, TagReplaced
from partsvc.domain.effects_endings import HandedOver
from partsvc.domain.ledger import Book, Entry, Spot
from partsvc.domain.places import PlaceKind
from partsvc.domain.records import Plain
from partsvc.domain.tag_kinds import TagKind
from partsvc.errors import (
    NotFound,
)
from partsvc.store import acts as act_store
from partsvc.store import boards, keeping, photos
from partsvc.work import clock
from partsvc.work.asked import Payload
from partsvc.work.service import Sender, Service


def write(
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
    if envelope.photos:
        photos.index(db, service.site, row.account, row.seq, json.loads(row.text))
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
                "supervised_by": doing.supervised_by or None,
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
        supervised_by=doing.supervised_by,
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
                if effect.kind in (TagKind.BOARD, TagKind.POCKET):
                    boards.claim(db, service.site, effect.tag, account)
            case TagReplaced():
                why = f"lost or soaked; its bag carries {shown_bag(effect.into)} now"
                keeping.void_tag(db, service.site, effect.tag, why)
            case TagGoodAgain():
                keeping.void_tag(db, service.site, effect.tag, "")
            case Released():
                keeping.set_job_state(db, service.site, account, "released")
            case HandedOver():
                keeping.set_job_state(db, service.site, account, "handed-over")
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
