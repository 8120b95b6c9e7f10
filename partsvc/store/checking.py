"""What a check of the database reads: everything twice, once as kept and once as recounted."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator

from partsvc.store.database import Row


def sound(db: sqlite3.Connection) -> list[str]:
    """What SQLite itself finds wrong with the file: pages, indexes, constraints, foreign keys."""
    pages = [row[0] for row in db.execute("PRAGMA integrity_check") if row[0] != "ok"]
    keys = [f"{row[0]}: a row refers to nothing" for row in db.execute("PRAGMA foreign_key_check")]
    return pages + keys


def accounts(db: sqlite3.Connection, site: str) -> list[Row]:
    """All accounts with their heads."""
    return db.execute(
        "SELECT id, head_seq, head FROM account WHERE site = ? ORDER BY id", (site,)
    ).fetchall()


def acts(db: sqlite3.Connection, site: str, account: str) -> Iterator[Row]:
    """All acts of an account with the columns that index them."""
    yield from db.execute(
        "SELECT seq, key, kind, done_by, recorded_by, sent_by, done_at, received_at, step,"
        " reverses, text, hash FROM act WHERE site = ? AND account = ? ORDER BY seq",
        (site, account),
    )


def entry_rows(db: sqlite3.Connection, site: str, account: str) -> dict[int, list[Row]]:
    """The entries of an account, by act, in order."""
    found: dict[int, list[Row]] = {}
    for row in db.execute(
        "SELECT seq, part, quantity, from_account, from_place, from_condition, from_lot,"
        " to_account, to_place, to_condition, to_lot FROM entry"
        " WHERE site = ? AND account = ? ORDER BY seq, n",
        (site, account),
    ):
        found.setdefault(row["seq"], []).append(row)
    return found


def effect_rows(db: sqlite3.Connection, site: str, account: str) -> dict[int, list[Row]]:
    """The effects of an account, by act, in order."""
    found: dict[int, list[Row]] = {}
    for row in db.execute(
        "SELECT seq, kind, text FROM effect WHERE site = ? AND account = ? ORDER BY seq, n",
        (site, account),
    ):
        found.setdefault(row["seq"], []).append(row)
    return found


def balances_that_differ(db: sqlite3.Connection, site: str) -> list[Row]:
    """Spots whose stored balance is not the sum of the entries, with both figures."""
    return db.execute(
        "WITH moved AS ("
        " SELECT to_account AS account, to_place AS place, part, to_condition AS condition,"
        "  to_lot AS lot, quantity AS q FROM entry WHERE site = :site"
        " UNION ALL SELECT from_account, from_place, part, from_condition, from_lot, -quantity"
        "  FROM entry WHERE site = :site),"
        " summed AS (SELECT account, place, part, condition, lot, sum(q) AS q FROM moved"
        "  WHERE place NOT LIKE 'outside:%' GROUP BY 1, 2, 3, 4, 5),"
        " kept AS (SELECT account, place, part, condition, lot, quantity AS q FROM balance"
        "  WHERE site = :site)"
        " SELECT s.account, s.place, s.part, coalesce(k.q, 0) AS kept, s.q AS summed"
        "  FROM summed s LEFT JOIN kept k USING (account, place, part, condition, lot)"
        "  WHERE coalesce(k.q, 0) <> s.q"
        " UNION ALL SELECT k.account, k.place, k.part, k.q, 0 FROM kept k"
        "  LEFT JOIN summed s USING (account, place, part, condition, lot)"
        "  WHERE s.q IS NULL AND k.q <> 0",
        {"site": site},
    ).fetchall()
