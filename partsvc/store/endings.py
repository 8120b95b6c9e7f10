"""Which job took over which: kept beside the ledger for quick reading, and never changed."""

from __future__ import annotations

import sqlite3


def add_takeover(db: sqlite3.Connection, site: str, *, old: str, new: str, old_number: int) -> None:
    """Note that one job took over what was left of another."""
    db.execute(
        "INSERT INTO takeover (site, old, new, old_number) VALUES (?, ?, ?, ?)",
        (site, old, new, old_number),
    )


def move_tags(db: sqlite3.Connection, site: str, *, old: str, new: str) -> None:
    """The good tags of a job go along to the one that took it over."""
    db.execute(
        "UPDATE tag SET account = ? WHERE site = ? AND account = ? AND void_reason = ''",
        (new, site, old),
    )


def takeovers(db: sqlite3.Connection, site: str) -> dict[str, str]:
    """For each job that was taken over, the job that did."""
    rows = db.execute("SELECT old, new FROM takeover WHERE site = ?", (site,))
    return {row["old"]: row["new"] for row in rows}


def earlier(db: sqlite3.Connection, site: str, job: str) -> list[str]:
    """The jobs that this one began with, the first one first."""
    rows = db.execute(
        "WITH RECURSIVE before (old, depth) AS ("
        " SELECT old, 1 FROM takeover WHERE site = :site AND new = :job"
        " UNION ALL SELECT t.old, depth + 1 FROM takeover t JOIN before b ON t.new = b.old"
        "  WHERE t.site = :site)"
        " SELECT old FROM before ORDER BY depth DESC",
        {"site": site, "job": job},
    )
    return [row["old"] for row in rows]
