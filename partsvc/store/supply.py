"""What the store's shelf is made of: batches, use-by days, for whom it was received."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable

from partsvc.domain.lots import LotFacts
from partsvc.store.database import Row

_AT_ONCE = 500


def lots(db: sqlite3.Connection, site: str, keys: Iterable[str]) -> dict[tuple[str, str], LotFacts]:
    """What is known of lots of new pieces, by lot and part: from the act that each is named by.

    Of an act that handed out two batches of a part at once, both are named.
    """
    asked = sorted(set(keys))
    found: dict[tuple[str, str], LotFacts] = {}
    for begin in range(0, len(asked), _AT_ONCE):
        part_of = asked[begin : begin + _AT_ONCE]
        marks = ", ".join("?" * len(part_of))
        rows = db.execute(
            "SELECT a.key, e.text FROM act a"
            " JOIN effect e ON e.site = a.site AND e.account = a.account AND e.seq = a.seq"
            f" WHERE a.site = ? AND a.key IN ({marks})"
            " AND e.kind IN ('received', 'batch-issued') ORDER BY a.account, a.seq, e.n",
            (site, *part_of),
        )
        for row in rows:
            said = json.loads(row["text"])
            where = (row["key"], said["part"])
            facts = LotFacts(
                batch=said.get("batch", ""),
                use_by=said.get("use_by", ""),
                job=said.get("job", ""),
            )
            found[where] = found[where].beside(facts) if where in found else facts
    return found


def taken_from_store(
    db: sqlite3.Connection, site: str, *, part: str, lots: Iterable[str]
) -> list[Row]:
    """The acts that took pieces of these lots off the shelf and still hold, newest first."""
    asked = sorted(set(lots))
    marks = ", ".join("?" * len(asked))
    return db.execute(
        "SELECT DISTINCT a.key, coalesce(j.number, 0) AS job_number FROM entry e"
        " JOIN act a ON a.site = e.site AND a.account = e.account AND a.seq = e.seq"
        " LEFT JOIN job j ON j.site = a.site AND j.id = a.account"
        " LEFT JOIN act r ON r.site = a.site AND r.account = a.account AND r.reverses = a.key"
        " WHERE e.from_account = 'workshop' AND e.from_place = 'stock:main' AND e.site = ?"
        f" AND e.part = ? AND e.from_lot IN ({marks}) AND a.reverses IS NULL AND r.key IS NULL"
        " ORDER BY a.received_at DESC, a.seq DESC LIMIT 20",
        (site, part, *asked),
    ).fetchall()
