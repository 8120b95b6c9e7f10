"""All acts of a job and all that was refused, without their texts: what its days are told from."""

from __future__ import annotations

import sqlite3
from collections.abc import Collection

from partsvc.store.database import Row

MOST_REFUSED = 1000


def acts(db: sqlite3.Connection, site: str, account: str) -> list[Row]:
    """Every act, in the ledger's order, and whether it was undone later."""
    return db.execute(
        "SELECT a.seq, a.kind, a.done_by, a.done_at, a.step, EXISTS (SELECT 1 FROM act r"
        " WHERE r.site = a.site AND r.account = a.account AND r.reverses = a.key) AS undone"
        " FROM act a WHERE a.site = ? AND a.account = ? ORDER BY a.seq",
        (site, account),
    ).fetchall()


def refused(db: sqlite3.Connection, site: str, account: str) -> list[Row]:
    """What was refused, the newest so many."""
    return db.execute(
        "SELECT kind, done_by, at, detail FROM refused WHERE site = ? AND account = ?"
        " ORDER BY at DESC, id LIMIT ?",
        (site, account, MOST_REFUSED),
    ).fetchall()


def texts(db: sqlite3.Connection, site: str, account: str, seqs: Collection[int]) -> dict[int, str]:
    """The texts of a few acts, by their number."""
    marks = ", ".join("?" for _ in seqs)
    rows = db.execute(
        f"SELECT seq, text FROM act WHERE site = ? AND account = ? AND seq IN ({marks})",
        (site, account, *seqs),
    )
    return {row["seq"]: row["text"] for row in rows}
