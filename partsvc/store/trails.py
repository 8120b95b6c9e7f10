"""Which acts a piece was in: found by the indexes of places, parts and steps, never by reading all.

The search casts a little wider than the trail: what turns out to concern others is left out by
whoever tells it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass

from partsvc.store.database import Row


@dataclass(frozen=True, slots=True, kw_only=True)
class TrailFilter:
    """What to look for: places as the book names them, with what was said of a thing by name.

    With `kin` the pieces are followed to wherever else they were, by part and lot.
    """

    places: tuple[str, ...] = ()
    part: str = ""
    position: str = ""
    step: str = ""
    bag: str = ""
    kin: bool = False
    after: int = 0
    limit: int = 500


# The plus signs and the cross join keep the planner on the narrow indexes: of a place, of a part.
_THERE = """
  SELECT seq, part, from_lot AS lot FROM entry
   WHERE site = :site AND from_account = :account AND +account = :account
     AND from_place IN ({places})
  UNION
  SELECT seq, part, to_lot FROM entry
   WHERE site = :site AND to_account = :account AND +account = :account
     AND to_place IN ({places})
"""

_KIN = """
  UNION
  SELECT e.seq FROM (SELECT DISTINCT part, lot FROM there WHERE lot <> 'untracked') k
    CROSS JOIN entry e
   WHERE e.site = :site AND e.account = :account AND e.part = k.part
     AND k.lot IN (e.from_lot, e.to_lot)
"""

_OF_PART = """
  UNION SELECT seq FROM entry WHERE site = :site AND account = :account AND part = :part
  UNION SELECT seq FROM effect WHERE site = :site AND account = :account
    AND json_extract(text, '$.part') = :part
"""

_OF_BAG = """
  UNION SELECT seq FROM effect WHERE site = :site AND account = :account
    AND :bag IN (json_extract(text, '$.bag'), json_extract(text, '$.tag'),
                 json_extract(text, '$.into'))
"""

_OF_POSITION = """
  UNION SELECT seq FROM effect WHERE site = :site AND account = :account
    AND :position IN (json_extract(text, '$.position'), json_extract(text, '$.place'),
                      json_extract(text, '$.lot'), json_extract(text, '$.home'),
                      json_extract(text, '$.carrier'))
  UNION SELECT seq FROM act WHERE site = :site AND account = :account AND step = :step
    AND json_extract(text, '$.request.position') = :position
  UNION SELECT seq FROM photo_of WHERE site = :site AND account = :account
    AND position = :position
"""


def acts_of(db: sqlite3.Connection, site: str, account: str, wanted: TrailFilter) -> list[Row]:
    """The acts that may belong to a trail, oldest first, with the one that undid each."""
    sql, members = statement(site, account, wanted)
    return db.execute(sql, members).fetchall()


def statement(site: str, account: str, wanted: TrailFilter) -> tuple[str, dict[str, str | int]]:
    """The question as it is put to the database, with its values."""
    marks, members = _marks(wanted.places)
    found = ["SELECT seq FROM there"]
    if wanted.kin:
        found.append(_KIN)
    for asked, more in (
        (wanted.part, _OF_PART), (wanted.bag, _OF_BAG), (wanted.position, _OF_POSITION),
    ):  # fmt: skip
        if asked:
            found.append(more)
    sql = f"""
WITH there AS ({_THERE.format(places=marks)}), found AS ({" ".join(found)}),
 with_undone AS (
  SELECT seq FROM found
  UNION
  SELECT r.seq FROM found f
    JOIN act a ON a.site = :site AND a.account = :account AND a.seq = f.seq
    JOIN act r ON r.site = a.site AND r.account = a.account AND r.reverses = a.key)
SELECT a.seq, a.text,
  (SELECT r.seq FROM act r WHERE r.site = a.site AND r.account = a.account AND r.reverses = a.key)
   AS undone_by
  FROM with_undone w JOIN act a ON a.site = :site AND a.account = :account AND a.seq = w.seq
 WHERE w.seq > :after ORDER BY w.seq LIMIT :limit"""
    return sql, {
        **members, "site": site, "account": account, "part": wanted.part, "bag": wanted.bag,
        "position": wanted.position, "step": wanted.step, "after": wanted.after,
        "limit": wanted.limit,
    }  # fmt: skip


def _marks(places: Sequence[str]) -> tuple[str, dict[str, str | int]]:
    named: dict[str, str | int] = {f"place{n}": place for n, place in enumerate(places)}
    return ", ".join(f":{name}" for name in named) or "NULL", named


_WITH_UNDONE = (
    "SELECT a.seq, a.text, (SELECT r.seq FROM act r WHERE r.site = a.site"
    " AND r.account = a.account AND r.reverses = a.key) AS undone_by FROM act a"
    " WHERE a.site = ? AND a.account = ?"
)


def since(db: sqlite3.Connection, site: str, account: str, after: int, limit: int) -> list[Row]:
    """The acts after one of this number, oldest first, with the one that undid each."""
    sql = f"{_WITH_UNDONE} AND a.seq > ? ORDER BY a.seq LIMIT ?"
    return db.execute(sql, (site, account, after, limit)).fetchall()


def of_kind(db: sqlite3.Connection, site: str, account: str, kind: str) -> list[Row]:
    """The acts of one kind, oldest first, with the one that undid each."""
    sql = f"{_WITH_UNDONE} AND a.kind = ? ORDER BY a.seq"
    return db.execute(sql, (site, account, kind)).fetchall()


def hash_of(db: sqlite3.Connection, site: str, account: str, seq: int) -> str:
    """The hash of an act by its number; empty if there is none."""
    row = db.execute(
        "SELECT hash FROM act WHERE site = ? AND account = ? AND seq = ?", (site, account, seq)
    ).fetchone()
    return str(row["hash"]) if row else ""


def people_of(db: sqlite3.Connection, site: str, account: str) -> list[Row]:
    """Who did how many acts of which kind on a job, and when first and last."""
    return db.execute(
        "SELECT done_by, kind, count(*) AS acts, min(done_at) AS first_at, max(done_at) AS last_at"
        " FROM act WHERE site = ? AND account = ? GROUP BY done_by, kind",
        (site, account),
    ).fetchall()
