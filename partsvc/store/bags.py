"""When each bag of an account was last moved from or into, for finding one without its tag."""

from __future__ import annotations

import sqlite3

from partsvc.store.database import Row


def last_moved(db: sqlite3.Connection, site: str, account: str) -> list[Row]:
    """For each bag, the last act that moved anything into or out of it: its number, time, hand."""
    return db.execute(
        "WITH moved AS (SELECT place, max(seq) AS seq FROM ("
        " SELECT to_place AS place, seq FROM entry WHERE site = :site AND to_account = :account"
        "  AND to_place >= 'bag:' AND to_place < 'bag;'"
        " UNION ALL SELECT from_place, seq FROM entry"
        "  WHERE site = :site AND from_account = :account"
        "  AND from_place >= 'bag:' AND from_place < 'bag;') GROUP BY place)"
        " SELECT moved.place, moved.seq, a.done_at, a.done_by FROM moved"
        " JOIN act a ON a.site = :site AND a.account = :account AND a.seq = moved.seq",
        {"site": site, "account": account},
    ).fetchall()
