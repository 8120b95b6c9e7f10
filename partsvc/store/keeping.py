"""Parts, procedures, vehicles, jobs and tags: what is kept beside the ledger."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Sequence

from partsvc.store.database import Row


def _all(db: sqlite3.Connection, sql: str, *values: str | int) -> list[Row]:
    return db.execute(sql, values).fetchall()


def _one(db: sqlite3.Connection, sql: str, *values: str | int) -> Row | None:
    found: Row | None = db.execute(sql, values).fetchone()
    return found


# Sites ------------------------------------------------------------------------------------------


def site(db: sqlite3.Connection) -> Row | None:
    """The site this database serves, if it was set up."""
    return _one(db, "SELECT id, name, zone, catalogue_version FROM site LIMIT 1")


def add_site(db: sqlite3.Connection, *, ident: str, name: str, zone: str, at: str) -> None:
    """Set the site up."""
    db.execute(
        "INSERT INTO site (id, name, zone, created_at) VALUES (?, ?, ?, ?)",
        (ident, name, zone, at),
    )


# Parts ------------------------------------------------------------------------------------------


def parts(db: sqlite3.Connection, site_id: str) -> list[Row]:
    """The whole catalogue."""
    return _all(db, "SELECT number, text FROM part WHERE site = ?", site_id)


def part_page(db: sqlite3.Connection, site_id: str, *, after: str, limit: int) -> list[Row]:
    """A page of the catalogue by number."""
    return _all(
        db,
        "SELECT number, text, version FROM part WHERE site = ? AND number > ?"
        " ORDER BY number LIMIT ?",
        site_id, after, limit,
    )  # fmt: skip


def part(db: sqlite3.Connection, site_id: str, number: str) -> Row | None:
    """One part."""
    return _one(
        db,
        "SELECT number, text, version FROM part WHERE site = ? AND number = ?",
        site_id, number,
    )  # fmt: skip


def put_part(
    db: sqlite3.Connection, site_id: str, *, number: str, name: str, kind: str, text: str
) -> None:
    """Add a part or write it anew; the catalogue's version goes up."""
    db.execute(
        "INSERT INTO part (site, number, text, name, kind) VALUES (?, ?, ?, ?, ?)"
        " ON CONFLICT (site, number) DO UPDATE SET text = excluded.text, name = excluded.name,"
        " kind = excluded.kind, version = version + 1",
        (site_id, number, text, name, kind),
    )
    # Drawn by chance, so that a version that was rolled back never comes again.
    db.execute(
        "UPDATE site SET catalogue_version = abs(random() % 9007199254740992) WHERE id = ?",
        (site_id,),
    )


# Procedures -------------------------------------------------------------------------------------


def revisions(db: sqlite3.Connection, site_id: str, *, after: str, limit: int) -> list[Row]:
    """The newest revision of each procedure."""
    return _all(
        db,
        "SELECT procedure, max(number) AS number, title, hash, added_at FROM revision"
        " WHERE site = ? AND procedure > ? GROUP BY procedure ORDER BY procedure LIMIT ?",
        site_id, after, limit,
    )  # fmt: skip


def revision(
    db: sqlite3.Connection, site_id: str, procedure: str, number: int | None = None
) -> Row | None:
    """One revision of a procedure; the newest if no number is given."""
    return _one(
        db,
        "SELECT procedure, number, title, hash, text, added_at FROM revision"
        " WHERE site = ? AND procedure = ? AND (number = ? OR ? = 0)"
        " ORDER BY number DESC LIMIT 1",
        site_id, procedure, number or 0, number or 0,
    )  # fmt: skip


def add_revision(
    db: sqlite3.Connection,
    site_id: str,
    *,
    procedure: str,
    number: int,
    title: str,
    digest: str,
    text: str,
    by: str,
    at: str,
) -> None:
    """Add a revision; it is never changed afterwards."""
    db.execute(
        "INSERT INTO revision (site, procedure, number, title, hash, text, added_by, added_at)"
        " VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        (site_id, procedure, number, title, digest, text, by, at),
    )


# Vehicles ---------------------------------------------------------------------------------------


def vehicles(db: sqlite3.Connection, site_id: str, *, after: str, limit: int) -> list[Row]:
    """A page of vehicles by id."""
    return _all(
        db,
        "SELECT id, vin, model, plate, owner, version FROM vehicle WHERE site = ? AND id > ?"
        " ORDER BY id LIMIT ?",
        site_id, after, limit,
    )  # fmt: skip


def vehicle(db: sqlite3.Connection, site_id: str, ident: str) -> Row | None:
    """One vehicle."""
    return _one(
        db,
        "SELECT id, vin, model, plate, owner, version FROM vehicle WHERE site = ? AND id = ?",
        site_id, ident,
    )  # fmt: skip


def add_vehicle(
    db: sqlite3.Connection,
    site_id: str,
    *,
    ident: str,
    vin: str,
    model: str,
    plate: str,
    owner: str,
) -> None:
    """Add a vehicle."""
    db.execute(
        "INSERT INTO vehicle (site, id, vin, model, plate, owner) VALUES (?, ?, ?, ?, ?, ?)",
        (site_id, ident, vin, model, plate, owner),
    )


def change_vehicle(
    db: sqlite3.Connection,
    site_id: str,
    *,
    ident: str,
    version: int,
    vin: str,
    model: str,
    plate: str,
    owner: str,
) -> bool:
    """Write a vehicle anew if nobody else did meanwhile."""
    done = db.execute(
        "UPDATE vehicle SET vin = ?, model = ?, plate = ?, owner = ?, version = version + 1"
        " WHERE site = ? AND id = ? AND version = ?",
        (vin, model, plate, owner, site_id, ident, version),
    )
    return done.rowcount == 1


# Jobs -------------------------------------------------------------------------------------------

_JOB = (
    "SELECT j.id, j.number, j.title, j.vehicle, j.procedure, j.revision, j.needed_by, j.state,"
    " j.opened_at, j.version, a.head_seq, a.head, coalesce(v.vin, '') AS vin,"
    " coalesce(v.model, '') AS model, coalesce(b.old, '') AS takes_over,"
    " coalesce(b.old_number, 0) AS takes_over_number, coalesce(f.new, '') AS taken_over_by"
    " FROM job j"
    " JOIN account a ON a.site = j.site AND a.id = j.id"
    " LEFT JOIN vehicle v ON v.site = j.site AND v.id = j.vehicle"
    " LEFT JOIN takeover b ON b.site = j.site AND b.new = j.id"
    " LEFT JOIN takeover f ON f.site = j.site AND f.old = j.id"
)


def job(db: sqlite3.Connection, site_id: str, ident: str) -> Row | None:
    """One job, by its id."""
    return _one(db, f"{_JOB} WHERE j.site = ? AND j.id = ?", site_id, ident)


def jobs(db: sqlite3.Connection, site_id: str, *, state: str, before: int, limit: int) -> list[Row]:
    """A page of jobs, newest first; of one state or all."""
    return _all(
        db,
        f"{_JOB} WHERE j.site = ? AND (j.state = ? OR ? = '') AND j.number < ?"
        " ORDER BY j.number DESC LIMIT ?",
        site_id, state, state, before, limit,
    )  # fmt: skip


def next_job_number(db: sqlite3.Connection, site_id: str) -> int:
    """The number of the next job of this site."""
    row = _one(db, "SELECT coalesce(max(number), 0) + 1 AS next FROM job WHERE site = ?", site_id)
    return int(row["next"]) if row else 1


def add_job(
    db: sqlite3.Connection,
    site_id: str,
    *,
    ident: str,
    number: int,
    title: str,
    vehicle_id: str,
    procedure: str,
    revision_number: int,
    needed_by: str,
    at: str,
) -> None:
    """Add a job; its account must be there."""
    db.execute(
        "INSERT INTO job (site, id, number, title, vehicle, procedure, revision, needed_by,"
        " opened_at) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (site_id, ident, number, title, vehicle_id, procedure, revision_number, needed_by, at),
    )


def change_job(
    db: sqlite3.Connection, site_id: str, *, ident: str, version: int, title: str, needed_by: str
) -> bool:
    """Write a job's title and date anew if nobody else did meanwhile."""
    done = db.execute(
        "UPDATE job SET title = ?, needed_by = ?, version = version + 1"
        " WHERE site = ? AND id = ? AND version = ?",
        (title, needed_by, site_id, ident, version),
    )
    return done.rowcount == 1


def set_job_state(db: sqlite3.Connection, site_id: str, ident: str, state: str) -> None:
    """Note in the index whether a job is open or released."""
    db.execute(
        "UPDATE job SET state = ?, version = version + 1 WHERE site = ? AND id = ?",
        (state, site_id, ident),
    )


# Tags -------------------------------------------------------------------------------------------

_TAG = (
    "SELECT t.code, t.account, t.kind, t.words, t.position, t.void_reason, t.minted_at,"
    " coalesce(j.number, 0) AS job_number, coalesce(j.title, '') AS job_title FROM tag t"
    " LEFT JOIN job j ON j.site = t.site AND j.id = t.account"
)


def tags(db: sqlite3.Connection, site_id: str, codes: Iterable[str]) -> list[Row]:
    """The tags with these codes, as far as they were ever minted."""
    asked = sorted(set(codes))
    if not asked:
        return []
    marks = ", ".join("?" * len(asked))
    return _all(db, f"{_TAG} WHERE t.site = ? AND t.code IN ({marks})", site_id, *asked)


def tags_of_job(
    db: sqlite3.Connection, site_id: str, account: str, *, after: str = "", limit: int = 10_000
) -> list[Row]:
    """A page of the tags of one job."""
    return _all(
        db,
        f"{_TAG} WHERE t.site = ? AND t.account = ? AND t.code > ? ORDER BY t.code LIMIT ?",
        site_id, account, after, limit,
    )  # fmt: skip


def tags_of_things(db: sqlite3.Connection, site_id: str) -> list[Row]:
    """The tags that are on no bag and good at every job: rack places and badges."""
    return _all(
        db,
        "SELECT code, kind, words FROM tag INDEXED BY tag_of_thing"
        " WHERE site = ? AND kind IN ('rack', 'person') AND void_reason = '' ORDER BY code",
        site_id,
    )


def add_tags(
    db: sqlite3.Connection,
    site_id: str,
    minted: Sequence[tuple[str, str, str, str, str]],
    *,
    at: str,
) -> None:
    """Mint tags: code, account (or none yet), kind, words, position."""
    db.executemany(
        "INSERT INTO tag (site, code, account, kind, words, position, minted_at)"
        " VALUES (?, ?, ?, ?, ?, ?, ?)",
        [(site_id, *one, at) for one in minted],
    )


def claim_tag(db: sqlite3.Connection, site_id: str, code: str, account: str, kind: str) -> None:
    """A blank tag becomes a job's, for life."""
    db.execute(
        "UPDATE tag SET account = ?, kind = ? WHERE site = ? AND code = ? AND account = ''",
        (account, kind, site_id, code),
    )


def void_tag(db: sqlite3.Connection, site_id: str, code: str, reason: str) -> None:
    """The tag is no longer good."""
    db.execute(
        "UPDATE tag SET void_reason = ? WHERE site = ? AND code = ?", (reason, site_id, code)
    )
