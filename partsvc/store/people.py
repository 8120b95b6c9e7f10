"""People, tokens, answers given, acts refused, photos."""

from __future__ import annotations

import sqlite3

from partsvc.store.database import Row

_PERSON = (
    "SELECT p.id, p.login, p.roles, p.qualifications, p.secret, p.active, p.version,"
    " coalesce(n.name, '') AS name FROM person p"
    " LEFT JOIN person_name n ON n.site = p.site AND n.person = p.id"
)


def people(db: sqlite3.Connection, site: str) -> list[Row]:
    """Everybody, by login."""
    return db.execute(f"{_PERSON} WHERE p.site = ? ORDER BY p.login", (site,)).fetchall()


def person(db: sqlite3.Connection, site: str, ident: str) -> Row | None:
    """One person by id."""
    found: Row | None = db.execute(
        f"{_PERSON} WHERE p.site = ? AND p.id = ?", (site, ident)
    ).fetchone()
    return found


def person_by_login(db: sqlite3.Connection, site: str, login: str) -> Row | None:
    """One person by sign-in name."""
    found: Row | None = db.execute(
        f"{_PERSON} WHERE p.site = ? AND p.login = ?", (site, login)
    ).fetchone()
    return found


def add_person(
    db: sqlite3.Connection,
    site: str,
    *,
    ident: str,
    login: str,
    name: str,
    roles: str,
    secret: str,
    qualifications: str = "",
) -> None:
    """Add a person; the name is kept apart so that it can be erased."""
    db.execute(
        "INSERT INTO person (site, id, login, roles, secret, qualifications)"
        " VALUES (?, ?, ?, ?, ?, ?)",
        (site, ident, login, roles, secret, qualifications),
    )
    db.execute("INSERT INTO person_name VALUES (?, ?, ?)", (site, ident, name))


def change_person(
    db: sqlite3.Connection,
    site: str,
    *,
    ident: str,
    version: int,
    name: str,
    roles: str,
    active: bool,
    qualifications: str,
    secret: str = "",
) -> bool:
    """Write a person anew if nobody else did meanwhile; the secret only when given."""
    done = db.execute(
        "UPDATE person SET roles = ?, active = ?, qualifications = ?, version = version + 1,"
        " secret = CASE WHEN ? = '' THEN secret ELSE ? END"
        " WHERE site = ? AND id = ? AND version = ?",
        (roles, int(active), qualifications, secret, secret, site, ident, version),
    )
    db.execute("UPDATE person_name SET name = ? WHERE site = ? AND person = ?", (name, site, ident))
    if not active:
        db.execute("UPDATE token SET revoked = 1 WHERE site = ? AND person = ?", (site, ident))
    return done.rowcount == 1


def erase_name(db: sqlite3.Connection, site: str, ident: str, *, version: int) -> bool:
    """Take a person's name and sign-in name out for good; the id in the records stays."""
    done = db.execute(
        "UPDATE person SET login = id, secret = '', version = version + 1"
        " WHERE site = ? AND id = ? AND version = ? AND active = 0",
        (site, ident, version),
    )
    if done.rowcount:
        db.execute("UPDATE person_name SET name = '' WHERE site = ? AND person = ?", (site, ident))
    return done.rowcount == 1


def add_token(
    db: sqlite3.Connection,
    site: str,
    *,
    digest: str,
    person_id: str,
    device: str,
    at: str,
    good_until: str,
) -> None:
    """Remember a token by its digest."""
    db.execute(
        "INSERT INTO token (site, hash, person, device, made_at, good_until)"
        " VALUES (?, ?, ?, ?, ?, ?)",
        (site, digest, person_id, device, at, good_until),
    )


def token(db: sqlite3.Connection, site: str, digest: str) -> Row | None:
    """Whose token this is, if it is still good."""
    found: Row | None = db.execute(
        "SELECT t.person, t.device, t.good_until, p.roles, p.login FROM token t"
        " JOIN person p ON p.site = t.site AND p.id = t.person"
        " WHERE t.site = ? AND t.hash = ? AND t.revoked = 0 AND p.active = 1",
        (site, digest),
    ).fetchone()
    return found


def revoke_token(db: sqlite3.Connection, site: str, digest: str) -> None:
    """The token is good no longer."""
    db.execute("UPDATE token SET revoked = 1 WHERE site = ? AND hash = ?", (site, digest))


def answer(db: sqlite3.Connection, site: str, key: str) -> Row | None:
    """What was answered to the request with this key."""
    found: Row | None = db.execute(
        "SELECT request_hash, status, body FROM answer WHERE site = ? AND key = ?", (site, key)
    ).fetchone()
    return found


def add_answer(
    db: sqlite3.Connection,
    site: str,
    *,
    key: str,
    request_hash: str,
    status: int,
    body: str,
    at: str,
) -> None:
    """Keep an answer, so that the same request gets it again."""
    db.execute(
        "INSERT INTO answer (site, key, request_hash, status, body, at) VALUES (?, ?, ?, ?, ?, ?)",
        (site, key, request_hash, status, body, at),
    )


def add_refused(
    db: sqlite3.Connection,
    site: str,
    *,
    ident: str,
    account: str,
    key: str,
    kind: str,
    done_by: str,
    recorded_by: str,
    sent_by: str,
    reason: str,
    detail: str,
    text: str,
    at: str,
    queued: bool = False,
) -> None:
    """Keep a refused act beside the ledger; one that a device had queued until it is put right."""
    db.execute(
        "INSERT INTO refused (site, id, account, key, kind, done_by, recorded_by, sent_by, reason,"
        " detail, text, at, queued) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (
            site, ident, account, key, kind, done_by, recorded_by, sent_by, reason, detail, text,
            at, int(queued),
        ),
    )  # fmt: skip


def refused(
    db: sqlite3.Connection, site: str, account: str, *, after: str, limit: int
) -> list[Row]:
    """A page of the refused acts of a job, oldest first; the cursor is time and id."""
    return db.execute(
        "SELECT id, key, kind, done_by, recorded_by, sent_by, reason, detail, text, at, queued,"
        " at || ' ' || id AS cursor FROM refused"
        " WHERE site = ? AND account = ? AND at || ' ' || id > ? ORDER BY at, id LIMIT ?",
        (site, account, after, limit),
    ).fetchall()


def add_photo(
    db: sqlite3.Connection, site: str, *, digest: str, jpeg: bytes, by: str, at: str
) -> None:
    """Keep a photo under its hash; the same photo twice is one."""
    db.execute(
        "INSERT INTO photo (site, hash, jpeg, added_by, added_at) VALUES (?, ?, ?, ?, ?)"
        " ON CONFLICT (site, hash) DO NOTHING",
        (site, digest, jpeg, by, at),
    )


def photo(db: sqlite3.Connection, site: str, digest: str) -> bytes | None:
    """A photo by its hash."""
    row = db.execute(
        "SELECT jpeg FROM photo WHERE site = ? AND hash = ?", (site, digest)
    ).fetchone()
    return row["jpeg"] if row else None
