"""Reads everything back as it stands in the tables, so that it can be held against itself."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from pathlib import Path

from partsvc.store import migrations
from partsvc.store.database import Row, tables

_ACT = (
    "SELECT seq, key, kind, done_by, recorded_by, supervised_by, sent_by, done_at, received_at,"
    " device_seq, step, reverses, format, text, hash FROM act WHERE site = ? AND account = ?"
    " ORDER BY seq"
)
_ENTRY = (
    "SELECT seq, n, part, quantity, from_account, from_place, from_condition, from_lot,"
    " to_account, to_place, to_condition, to_lot, reversal FROM entry"
    " WHERE site = ? AND account = ? ORDER BY seq, n"
)


def damage(db: sqlite3.Connection) -> list[str]:
    """What SQLite finds wrong with the file itself; empty when it is sound."""
    found = [row[0] for row in db.execute("PRAGMA integrity_check")]
    return [] if found == ["ok"] else found


def broken_foreign_keys(db: sqlite3.Connection) -> list[str]:
    """The tables with rows that refer to nothing."""
    rows = db.execute("PRAGMA foreign_key_check").fetchall()
    return [f"{row[0]} row {row[1]} refers to no {row[2]}" for row in rows]


def missing_rules(db: sqlite3.Connection) -> list[str]:
    """The triggers that a database of this version has and this one has not, or not so."""
    fresh = sqlite3.connect(":memory:", isolation_level=None)
    try:
        migrations.migrations.apply(tables(fresh))
        wanted = _triggers(fresh)
    finally:
        fresh.close()
    there = _triggers(db)
    return sorted(name for name, sql in wanted.items() if there.get(name) != sql)


def _triggers(db: sqlite3.Connection) -> dict[str, str]:
    rows = db.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
    return {row[0]: row[1] for row in rows}


def accounts(db: sqlite3.Connection, site: str) -> list[Row]:
    """Every account with its head."""
    return db.execute(
        "SELECT id, kind, head_seq, head FROM account WHERE site = ? ORDER BY id", (site,)
    ).fetchall()


def acts(db: sqlite3.Connection, site: str, account: str) -> Iterator[Row]:
    """Every act of an account in order, all its columns."""
    yield from db.execute(_ACT, (site, account))


def entries(db: sqlite3.Connection, site: str, account: str) -> list[Row]:
    """Every entry of an account in order, all its columns."""
    return db.execute(_ENTRY, (site, account)).fetchall()


def effects(db: sqlite3.Connection, site: str, account: str) -> list[Row]:
    """Every effect of an account in order."""
    return db.execute(
        "SELECT seq, n, kind, text FROM effect WHERE site = ? AND account = ? ORDER BY seq, n",
        (site, account),
    ).fetchall()


def balances(db: sqlite3.Connection, site: str) -> list[Row]:
    """Every stored balance that is not nothing."""
    return db.execute(
        "SELECT account, place, part, condition, lot, quantity FROM balance"
        " WHERE site = ? AND quantity <> 0",
        (site,),
    ).fetchall()


def answers(db: sqlite3.Connection, site: str) -> list[Row]:
    """Every kept answer to an act: those of other requests have keys of another form."""
    return db.execute(
        "SELECT key, status, body FROM answer WHERE site = ? AND key NOT LIKE 'request:%'", (site,)
    ).fetchall()


def tags_in_use(db: sqlite3.Connection, site: str) -> dict[str, str]:
    """The account each tag belongs to for life."""
    rows = db.execute("SELECT code, account FROM tag WHERE site = ? AND account <> ''", (site,))
    return {row["code"]: row["account"] for row in rows}


def job_states(db: sqlite3.Connection, site: str) -> dict[str, str]:
    """Whether the index has each job as open or released."""
    rows = db.execute("SELECT id, state FROM job WHERE site = ?", (site,))
    return {row["id"]: row["state"] for row in rows}


def copy_opens(path: Path) -> list[str]:
    """What is wrong with a copy of the database that nobody works on; empty when it is sound."""
    copy = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro&immutable=1", uri=True)
    try:
        return damage(copy) + broken_foreign_keys(copy)
    except sqlite3.DatabaseError as error:
        return [str(error)]
    finally:
        copy.close()


def copy_live(source: Path, target: Path) -> None:
    """A consistent copy of the database while others write to it."""
    migrations.back_up(source, target)
