"""Keeps the data safe, and shows that it is whole: checks, verified files, backups."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from partsvc.domain.canonical import CHAIN_START, chain_hash
from partsvc.domain.ledger_file import Verified, verify
from partsvc.store import acts as act_store
from partsvc.store import checking
from partsvc.store import migrations as store_migrations
from partsvc.store.database import Row, connect
from partsvc.work.posting import effect_plain, entry_plain
from partsvc.work.service import Service

_COLUMNS = {
    "seq": "seq", "key": "key", "kind": "kind", "done_by": "by", "recorded_by": "recorded_by",
    "sent_by": "sent_by", "done_at": "done_at", "received_at": "received_at",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Health:
    """What a check of the database found; without faults all is in order."""

    accounts: int
    acts: int
    faults: tuple[str, ...]


def check(service: Service) -> Health:
    """Re-hash every chain, hold every index to the acts' texts, recount every balance."""
    with service.database.reading() as db:
        faults = list(checking.sound(db))
        accounts = checking.accounts(db, service.site)
        total = 0
        for account in accounts:
            found, acts = _chain_faults(service, db, account)
            faults += found
            total += acts
        faults += [
            f"balance of {row['part']} at {row['place']} ({row['account']}): {row['kept']} kept, "
            f"{row['summed']} by the entries"
            for row in checking.balances_that_differ(db, service.site)
        ]
    return Health(accounts=len(accounts), acts=total, faults=tuple(faults))


def _chain_faults(service: Service, db: sqlite3.Connection, account: Row) -> tuple[list[str], int]:
    """What is wrong with one account's acts, and how many there are."""
    name = account["id"]
    entries = checking.entry_rows(db, service.site, name)
    effects = checking.effect_rows(db, service.site, name)
    faults: list[str] = []
    seq, chain = 0, CHAIN_START
    for row in checking.acts(db, service.site, name):
        seq += 1
        chain = chain_hash(chain, row["text"])
        if row["hash"] != chain or row["seq"] != seq:
            faults.append(f"{name}: act {seq} does not follow the one before")
        faults += [
            f"{name}: act {seq}: {odd}"
            for odd in _index_faults(row, entries.get(seq, []), effects.get(seq, []))
        ]
    if (seq, chain) != (account["head_seq"], account["head"]):
        faults.append(f"{name}: its head is not its last act")
    return faults, seq


def _index_faults(row: Row, entries: list[Row], effects: list[Row]) -> Iterator[str]:
    """Where the columns, entries and effects of an act differ from its text."""
    act: Mapping[str, object] = json.loads(row["text"])
    for column, member in _COLUMNS.items():
        if row[column] != act.get(member):
            yield f"{column} is not what its text says"
    if (row["reverses"] or None) != act.get("reverses"):
        yield "what it reverses is not what its text says"
    if [entry_plain(act_store.entry_of(entry)) for entry in entries] != act["entries"]:
        yield "its entries are not what its text says"
    if [_effect(effect) for effect in effects] != act["effects"]:
        yield "its effects are not what its text says"


def _effect(row: Row) -> object:
    return effect_plain(act_store.effect_of(row))


def verify_file(lines: Iterable[bytes]) -> Verified:
    """Verify an exported ledger, line by line, without any database."""
    return verify(lines)


def back_up(service: Service, target: Path) -> None:
    """Copy the database while the service runs; the copy is opened and looked over."""
    store_migrations.back_up(service.database.path, target)
    copy = connect(target)
    try:
        faults = checking.sound(copy)
    finally:
        copy.close()
    if faults:
        raise sqlite3.DatabaseError(f"the copy is not sound: {faults[0]}")
