"""Permits to work alone, each with its reason; and what became of queued acts that were refused."""

from __future__ import annotations

import sqlite3
from collections.abc import Collection

from partsvc.store.database import Row


def alone_permit(db: sqlite3.Connection, site: str) -> Row | None:
    """The permit to work alone as it stands now, or None when none was ever given."""
    found: Row | None = db.execute(
        "SELECT version, permitted, reason, given_by, given_at FROM alone_permit"
        " WHERE site = ? ORDER BY version DESC LIMIT 1",
        (site,),
    ).fetchone()
    return found


def add_alone_permit(
    db: sqlite3.Connection,
    site: str,
    *,
    version: int,
    permitted: bool,
    reason: str,
    by: str,
    at: str,
) -> None:
    """Give or withdraw the permit; what stood before stays."""
    db.execute(
        "INSERT INTO alone_permit (site, version, permitted, reason, given_by, given_at)"
        " VALUES (?, ?, ?, ?, ?, ?)",
        (site, version, int(permitted), reason, by, at),
    )


def queued_refused(db: sqlite3.Connection, site: str, account: str) -> list[Row]:
    """Queued acts of an account that were refused and not recorded since, oldest first."""
    return db.execute(
        "SELECT r.key, r.kind, r.done_by, r.recorded_by, r.at, r.detail, r.text FROM refused r"
        " WHERE r.site = :site AND r.account = :account AND r.queued = 1"
        " AND NOT EXISTS (SELECT 1 FROM act a WHERE a.site = r.site AND a.key = r.key)"
        " ORDER BY r.at, r.id",
        {"site": site, "account": account},
    ).fetchall()


def recorded_later(db: sqlite3.Connection, site: str, keys: Collection[str]) -> list[Row]:
    """Of these keys those that stand in a ledger, with their number there and who did it."""
    marks = ", ".join("?" for _ in keys)
    return db.execute(
        f"SELECT key, seq, done_by FROM act WHERE site = ? AND key IN ({marks})", (site, *keys)
    ).fetchall()


_STANDS = (
    "NOT EXISTS (SELECT 1 FROM act v WHERE v.site = a.site AND v.account = a.account"
    " AND v.reverses = a.key)"
)


def stopped_jobs(db: sqlite3.Connection, site: str) -> frozenset[str]:
    """The jobs that stand still: a high-voltage hold was passed by, and nobody accepted that."""
    rows = db.execute(
        "SELECT DISTINCT e.account FROM effect e"
        " JOIN act a ON a.site = e.site AND a.account = e.account AND a.seq = e.seq"
        " WHERE e.site = :site AND e.kind = 'overridden' AND json_extract(e.text, '$.stops') = 1"
        f" AND {_STANDS} AND NOT EXISTS (SELECT 1 FROM effect x"
        "  JOIN act b ON b.site = x.site AND b.account = x.account AND b.seq = x.seq"
        "  WHERE x.site = e.site AND x.account = e.account AND x.kind = 'accepted'"
        "  AND json_extract(x.text, '$.finding') = 'hold-passed-by'"
        "  AND json_extract(x.text, '$.lot') = a.key"
        "  AND json_extract(x.text, '$.part') = json_extract(e.text, '$.rule')"
        "  AND NOT EXISTS (SELECT 1 FROM act c WHERE c.site = b.site AND c.account = b.account"
        "   AND c.reverses = b.key))",
        {"site": site},
    )
    return frozenset(row["account"] for row in rows)
