"""The revisions of one procedure, told without their plans."""

from __future__ import annotations

import sqlite3

from partsvc.store.database import Row


def of_procedure(db: sqlite3.Connection, site: str, procedure: str) -> list[Row]:
    """Every revision of a procedure, newest first, with how many jobs were opened on it."""
    return db.execute(
        "SELECT r.procedure, r.number, r.title, r.hash, r.added_at, r.added_by,"
        " (SELECT count(*) FROM job j WHERE j.site = r.site AND j.procedure = r.procedure"
        "  AND j.revision = r.number) AS jobs"
        " FROM revision r WHERE r.site = ? AND r.procedure = ? ORDER BY r.number DESC",
        (site, procedure),
    ).fetchall()
