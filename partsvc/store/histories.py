"""What earlier acts tell: who worked on a job, and what a vehicle's jobs leave on its record."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator

from partsvc.domain.job_state import Happened
from partsvc.domain.record_lines import LostMoved
from partsvc.store.acts import effect_of, entry_of
from partsvc.store.database import Row

_LIVE = (
    "a.reverses IS NULL AND NOT EXISTS (SELECT 1 FROM act r WHERE r.site = a.site"
    " AND r.account = a.account AND r.reverses = a.key)"
)


def hands(db: sqlite3.Connection, site: str, account: str) -> frozenset[str]:
    """Everybody who took pieces off a job, put them back, lost or broke them, or recorded it."""
    rows = db.execute(
        "SELECT DISTINCT done_by, recorded_by FROM act WHERE site = ? AND account = ? AND kind IN"
        " ('loosen', 'remove', 'missing', 'fit', 'secure', 'put-on', 'take-off', 'lose', 'broke')",
        (site, account),
    )
    return frozenset(person for row in rows for person in (row["done_by"], row["recorded_by"]))


def jobs_of(db: sqlite3.Connection, site: str, vehicle: str) -> list[Row]:
    """The jobs of a vehicle, oldest first, each with the text of its procedure's revision."""
    return db.execute(
        "SELECT j.id, j.number, j.title, j.state, j.opened_at, coalesce(r.text, '') AS text"
        " FROM job j LEFT JOIN revision r ON r.site = j.site AND r.procedure = j.procedure"
        " AND r.number = j.revision WHERE j.site = ? AND j.vehicle = ? ORDER BY j.number",
        (site, vehicle),
    ).fetchall()


def effects_of(db: sqlite3.Connection, site: str, vehicle: str) -> Iterator[tuple[str, Happened]]:
    """All effects that hold on all jobs of a vehicle, each with its job, in the ledgers' order."""
    rows = db.execute(
        "SELECT e.account, e.seq, e.kind, e.text, a.key, a.done_by, a.recorded_by, a.done_at"
        " FROM job j JOIN effect e ON e.site = j.site AND e.account = j.id"
        " JOIN act a ON a.site = e.site AND a.account = e.account AND a.seq = e.seq"
        f" WHERE j.site = ? AND j.vehicle = ? AND {_LIVE} ORDER BY e.account, e.seq, e.n",
        (site, vehicle),
    )
    for row in rows:
        yield (
            row["account"],
            Happened(
                row["seq"],
                row["key"],
                row["done_by"],
                row["done_at"],
                effect_of(row),
                row["recorded_by"],
            ),
        )


def lost_moves(db: sqlite3.Connection, site: str, vehicle: str) -> list[tuple[str, LostMoved]]:
    """What was ever lost or found again on any job of a vehicle, each with its job, in order."""
    columns = (
        "SELECT e.account AS account, e.seq AS seq, e.n AS n, e.part, e.quantity,"
        " e.from_account, e.from_place, e.from_condition, e.from_lot, e.to_account, e.to_place,"
        " e.to_condition, e.to_lot, a.key, a.done_by, a.done_at,"
        " coalesce(json_extract(a.text, '$.request.words'), '') AS words FROM job j"
    )
    act = "JOIN act a ON a.site = e.site AND a.account = e.account AND a.seq = e.seq"
    asked = f"WHERE j.site = :site AND j.vehicle = :vehicle AND {_LIVE}"
    sides = [
        f"{columns} JOIN entry e ON e.site = j.site AND e.{side}_account = j.id"
        f" AND e.{side}_place >= 'lost:' AND e.{side}_place < 'lost;' {act} {asked}"
        for side in ("to", "from")
    ]
    rows = db.execute(
        f"{' UNION '.join(sides)} ORDER BY account, seq, n", {"site": site, "vehicle": vehicle}
    )
    return [
        (
            row["account"],
            LostMoved(
                act=row["key"],
                seq=row["seq"],
                entry=entry_of(row),
                by=row["done_by"],
                at=row["done_at"],
                words=row["words"],
            ),
        )
        for row in rows
    ]


def uses_known(db: sqlite3.Connection, site: str, vehicle: str, procedure: str) -> list[Row]:
    """What the last releases of a vehicle's jobs on a procedure, or on none, say of uses.

    Newest job first; a job that says nothing is there once, without kind and text.
    """
    return db.execute(
        "SELECT j.id, j.state, j.procedure, e.kind, e.text FROM job j"
        " LEFT JOIN effect e ON e.site = j.site AND e.account = j.id AND e.kind = 'uses-known'"
        " AND e.seq = (SELECT max(a.seq) FROM act a WHERE a.site = j.site AND a.account = j.id"
        "  AND a.kind = 'release')"
        " WHERE j.site = ? AND j.vehicle = ? AND j.procedure IN (?, '')"
        " ORDER BY j.number DESC, e.n",
        (site, vehicle, procedure),
    ).fetchall()
