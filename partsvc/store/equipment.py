"""Equipment with its check dates, and the ends of the workshop's shifts."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable

from partsvc.store.database import Row

_EQUIPMENT = "SELECT number, kind, words, good_until, version FROM equipment"


def named(db: sqlite3.Connection, site: str, numbers: Iterable[str]) -> list[Row]:
    """The equipment of these numbers, as far as it is listed."""
    asked = sorted(set(numbers))
    if not asked:
        return []
    marks = ", ".join("?" * len(asked))
    return db.execute(
        f"{_EQUIPMENT} WHERE site = ? AND number IN ({marks})", (site, *asked)
    ).fetchall()


def page(db: sqlite3.Connection, site: str, *, after: str, limit: int) -> list[Row]:
    """A page of the equipment, by number."""
    return db.execute(
        f"{_EQUIPMENT} WHERE site = ? AND number > ? ORDER BY number LIMIT ?", (site, after, limit)
    ).fetchall()


def one(db: sqlite3.Connection, site: str, number: str) -> Row | None:
    """One piece of equipment."""
    found = named(db, site, [number])
    return found[0] if found else None


def add(
    db: sqlite3.Connection, site: str, *, number: str, kind: str, words: str, good_until: str
) -> None:
    """Add a piece of equipment."""
    db.execute(
        "INSERT INTO equipment (site, number, kind, words, good_until) VALUES (?, ?, ?, ?, ?)",
        (site, number, kind, words, good_until),
    )


def change(
    db: sqlite3.Connection,
    site: str,
    *,
    number: str,
    version: int,
    kind: str,
    words: str,
    good_until: str,
) -> bool:
    """Write a piece of equipment anew if nobody else did meanwhile."""
    done = db.execute(
        "UPDATE equipment SET kind = ?, words = ?, good_until = ?, version = version + 1"
        " WHERE site = ? AND number = ? AND version = ?",
        (kind, words, good_until, site, number, version),
    )
    return done.rowcount == 1


def shift_ends(db: sqlite3.Connection, site: str) -> tuple[str, ...]:
    """When the workshop's shifts end, by its own clock."""
    rows = db.execute("SELECT at FROM shift_end WHERE site = ? ORDER BY at", (site,))
    return tuple(row["at"] for row in rows)


def set_shift_ends(db: sqlite3.Connection, site: str, ends: Iterable[str]) -> None:
    """Write the ends of the shifts anew."""
    db.execute("DELETE FROM shift_end WHERE site = ?", (site,))
    db.executemany(
        "INSERT INTO shift_end (site, at) VALUES (?, ?)", [(site, at) for at in sorted(set(ends))]
    )
