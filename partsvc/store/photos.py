"""What the photos in acts are of: kept for quick reading, made from the acts' own texts."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from partsvc.domain.photo_subjects import PUTS_BACK, Shows, Subject, photos_in, shows, subjects
from partsvc.domain.records import Plain
from partsvc.store.database import Row

PhotoRow: TypeAlias = tuple[int, str, str, str, str, str]
"""The photo's place in its act, its hash, step, position, bag, and whether before or after."""

# The text is in its one form, without blanks; words in it cannot hold a bare quotation mark.
_WITH_PHOTOS = (
    "SELECT account, seq, text FROM act WHERE site = ? AND instr(text, '\"photos\":[') > 0"
    " ORDER BY account, seq"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoFilter:
    """Which acts with photos are asked for; empty members ask for all."""

    step: str = ""
    position: str = ""
    bag: str = ""
    after: int = 0
    limit: int = 100


def rows_of(
    db: sqlite3.Connection, site: str, account: str, seq: int, said: Mapping[str, Plain]
) -> list[PhotoRow]:
    """What the photos of one act are of, as its text has it."""
    told = shows(said)
    about = [(one, told or _shows(db, (site, account, seq), one)) for one in subjects(said)]
    return [
        (n, photo, one.step, one.position, one.bag, side.value)
        for n, photo in enumerate(photos_in(said))
        for one, side in about
    ]


def _shows(db: sqlite3.Connection, act: tuple[str, str, int], about: Subject) -> Shows:
    """After, once something was put back there before this act."""
    if about.position:
        where, what = "e.to_place IN (?, ?)", [f"loose:{about.position}",
                                               f"secured:{about.position}"]  # fmt: skip
    elif about.bag:
        where, what = "e.from_place = ?", [f"bag:{about.bag}"]
    else:
        where, what = "a.step = ?", [about.step]
    kinds = ", ".join("?" for _ in PUTS_BACK)
    found = db.execute(
        "SELECT 1 FROM act a JOIN entry e ON e.site = a.site AND e.account = a.account"
        " AND e.seq = a.seq WHERE a.site = ? AND a.account = ? AND a.seq < ?"
        f" AND a.kind IN ({kinds}) AND {where} LIMIT 1",
        (*act, *PUTS_BACK, *what),
    ).fetchone()
    return Shows.AFTER if found else Shows.BEFORE


def index(
    db: sqlite3.Connection, site: str, account: str, seq: int, said: Mapping[str, Plain]
) -> None:
    """Keep what the photos of one act are of."""
    db.executemany(
        "INSERT INTO photo_of (site, account, seq, n, hash, step, position, bag, shows)"
        " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        [(site, account, seq, *row) for row in rows_of(db, site, account, seq, said)],
    )


def index_all(db: sqlite3.Connection) -> None:
    """Keep what all photos are of that acts carried before this was kept."""
    for (site,) in db.execute("SELECT id FROM site").fetchall():
        found = [row for row in _from_texts(db, site) if row[2] >= 0]
        db.executemany(
            "INSERT INTO photo_of (site, account, seq, n, hash, step, position, bag, shows)"
            " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
            [(site, *row) for row in found],
        )


def astray(db: sqlite3.Connection, site: str) -> list[tuple[str, int]]:
    """The acts, by account and number, whose photos are not kept as their texts have them."""
    kept = {
        tuple(row)
        for row in db.execute(
            "SELECT account, seq, n, hash, step, position, bag, shows FROM photo_of WHERE site = ?",
            (site,),
        )
    }
    differing = set(_from_texts(db, site)) ^ kept
    return sorted({(account, seq) for account, seq, *_ in differing})


def _from_texts(db: sqlite3.Connection, site: str) -> Iterator[tuple[str, int, *PhotoRow]]:
    """What all acts' texts say; one that cannot be read any more is told by a place below 0."""
    for account, seq, text in db.execute(_WITH_PHOTOS, (site,)).fetchall():
        try:
            rows = rows_of(db, site, account, seq, json.loads(text))
        except (ValueError, KeyError, TypeError, AttributeError):
            rows = [(-1, "", "", "", "", "")]
        yield from ((account, seq, *row) for row in rows)


def of_job(db: sqlite3.Connection, site: str, account: str, wanted: PhotoFilter) -> list[Row]:
    """What is known of the photos of a page of acts, oldest act first, a row for each subject."""
    values = {
        "site": site, "account": account, "step": wanted.step, "position": wanted.position,
        "bag": wanted.bag, "after": wanted.after, "limit": wanted.limit,
    }  # fmt: skip
    return db.execute(
        f"{_SHOWN} WHERE o.site = :site AND o.account = :account AND o.seq IN ("
        " SELECT DISTINCT seq FROM photo_of WHERE site = :site AND account = :account"
        "  AND seq > :after AND :step IN ('', step) AND :position IN ('', position)"
        "  AND :bag IN ('', bag) ORDER BY seq LIMIT :limit)"
        " AND :step IN ('', o.step) AND :position IN ('', o.position) AND :bag IN ('', o.bag)"
        " ORDER BY o.seq, o.n, o.shows, o.position, o.bag",
        values,
    ).fetchall()


_SHOWN = (
    "SELECT o.seq, o.n, o.hash, o.step, o.position, o.bag, o.shows, a.key, a.kind, a.done_by,"
    " a.done_at, a.text, EXISTS (SELECT 1 FROM photo p WHERE p.site = o.site AND p.hash = o.hash)"
    " AS kept, EXISTS (SELECT 1 FROM act r WHERE r.site = a.site AND r.account = a.account"
    " AND r.reverses = a.key) AS undone"
    " FROM photo_of o JOIN act a ON a.site = o.site AND a.account = o.account AND a.seq = o.seq"
)


def before(db: sqlite3.Connection, site: str, account: str) -> list[Row]:
    """The photos of how it was that can be shown, newest first, a row for each subject."""
    return db.execute(
        f"SELECT * FROM ({_SHOWN} WHERE o.site = ? AND o.account = ? AND o.step <> ''"
        " AND o.shows = 'before') WHERE kept AND NOT undone ORDER BY seq DESC, n, position, bag",
        (site, account),
    ).fetchall()


def is_of_job(db: sqlite3.Connection, site: str, account: str, digest: str) -> bool:
    """Whether an act of the job carries this photo."""
    found = db.execute(
        "SELECT 1 FROM photo_of WHERE site = ? AND account = ? AND hash = ? LIMIT 1",
        (site, account, digest),
    ).fetchone()
    return found is not None


def of_steps(db: sqlite3.Connection, site: str, account: str) -> list[Row]:
    """The photos at the steps of a job that can be shown, newest first, a row for each subject."""
    return db.execute(
        f"SELECT * FROM ({_SHOWN} WHERE o.site = ? AND o.account = ? AND o.step <> '')"
        " WHERE kept AND NOT undone ORDER BY seq DESC, n, position, bag",
        (site, account),
    ).fetchall()


def jpegs(db: sqlite3.Connection, site: str, hashes: Iterable[str]) -> dict[str, bytes]:
    """The photos of these hashes, as far as they are kept."""
    found = {}
    for digest in dict.fromkeys(hashes):
        row = db.execute(
            "SELECT jpeg FROM photo WHERE site = ? AND hash = ?", (site, digest)
        ).fetchone()
        if row is not None:
            found[digest] = bytes(row["jpeg"])
    return found
