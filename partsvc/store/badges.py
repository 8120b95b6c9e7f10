"""Badges: tags that are a person's, by id alone; the name is read when one is shown or drawn."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable

from partsvc.store.database import Row


def add_badge(db: sqlite3.Connection, site: str, code: str, *, person: str, at: str) -> None:
    """Mint a person's badge."""
    db.execute(
        "INSERT INTO tag (site, code, kind, person, minted_at) VALUES (?, ?, 'person', ?, ?)",
        (site, code, person, at),
    )


def holders(db: sqlite3.Connection, site: str, codes: Iterable[str]) -> dict[str, Row]:
    """For each of these tags that is a badge: whose it is, by id and by the name as it is now."""
    asked = sorted(set(codes))
    marks = ", ".join("?" * len(asked))
    rows = db.execute(
        "SELECT t.code, t.person, coalesce(n.name, '') AS name FROM tag t"
        " LEFT JOIN person_name n ON n.site = t.site AND n.person = t.person"
        f" WHERE t.site = ? AND t.person <> '' AND t.code IN ({marks})",
        (site, *asked),
    )
    return {row["code"]: row for row in rows}


def of_person(db: sqlite3.Connection, site: str, person: str) -> list[Row]:
    """The badges of one person that are still good, newest first."""
    return db.execute(
        "SELECT code, minted_at FROM tag"
        " WHERE site = ? AND person = ? AND kind = 'person' AND void_reason = ''"
        " ORDER BY minted_at DESC, code",
        (site, person),
    ).fetchall()
