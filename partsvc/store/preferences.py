"""How each person wants the pages."""

from __future__ import annotations

import sqlite3

from partsvc.store.database import Row


def preference(db: sqlite3.Connection, site: str, person: str) -> Row | None:
    """What a person has set, if anything."""
    found: Row | None = db.execute(
        "SELECT language, units FROM preference WHERE site = ? AND person = ?", (site, person)
    ).fetchone()
    return found


def prefer(db: sqlite3.Connection, site: str, person: str, *, language: str, units: str) -> None:
    """Set both for a person."""
    db.execute(
        "INSERT INTO preference (site, person, language, units) VALUES (?, ?, ?, ?)"
        " ON CONFLICT (site, person) DO UPDATE SET language = excluded.language,"
        " units = excluded.units",
        (site, person, language, units),
    )
