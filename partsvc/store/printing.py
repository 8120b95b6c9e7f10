"""Printers, and what waits to be printed on them."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable

from partsvc.store.database import Row

_SHOWN = (
    "id, number, printer, name, format, tags, again_of, asked_by, asked_at, stage, printer_job,"
    " tries, next_at, words, ended_at"
)
_NOT_SENT = "('waiting', 'begun', 'numbered', 'sending')"
_OPEN = "('waiting', 'begun', 'numbered', 'sending', 'at-printer')"


def printers(db: sqlite3.Connection, site: str) -> list[Row]:
    """All printers that are in use, by name."""
    return db.execute(
        "SELECT id, name, address, stock, format, media, version FROM printer"
        " WHERE site = ? AND active = 1 ORDER BY name, id",
        (site,),
    ).fetchall()


def printer(db: sqlite3.Connection, site: str, ident: str) -> Row | None:
    """One printer, in use or not."""
    found: Row | None = db.execute(
        "SELECT id, name, address, stock, format, media, active, version FROM printer"
        " WHERE site = ? AND id = ?",
        (site, ident),
    ).fetchone()
    return found


def put_printer(
    db: sqlite3.Connection,
    site: str,
    ident: str,
    *,
    name: str,
    address: str,
    stock: str,
    format: str,
    media: str,
) -> None:
    """Add a printer, or write it anew."""
    db.execute(
        "INSERT INTO printer (site, id, name, address, stock, format, media)"
        " VALUES (?, ?, ?, ?, ?, ?, ?)"
        " ON CONFLICT (site, id) DO UPDATE SET name = excluded.name, address = excluded.address,"
        " stock = excluded.stock, format = excluded.format, media = excluded.media,"
        " active = 1, version = version + 1",
        (site, ident, name, address, stock, format, media),
    )


def retire_printer(db: sqlite3.Connection, site: str, ident: str) -> None:
    """A printer is no longer used; what was printed on it stays on record."""
    db.execute(
        "UPDATE printer SET active = 0, version = version + 1 WHERE site = ? AND id = ?",
        (site, ident),
    )


def add(
    db: sqlite3.Connection,
    site: str,
    *,
    ident: str,
    printer: str,
    name: str,
    format: str,
    document: bytes,
    digest: str,
    tags: Iterable[str],
    again_of: str,
    by: str,
    at: str,
) -> None:
    """Put a document into the queue of a printer."""
    db.execute(
        "INSERT INTO printing (site, id, number, printer, name, format, document, digest, tags,"
        " again_of, asked_by, asked_at, stage, next_at)"
        " VALUES (?, ?, (SELECT coalesce(max(number), 0) + 1 FROM printing WHERE site = ?),"
        " ?, ?, ?, ?, ?, ?, ?, ?, ?, 'waiting', ?)",
        (
            site, ident, site, printer, name, format, document, digest, " ".join(tags), again_of,
            by, at, at,
        ),
    )  # fmt: skip


def one(db: sqlite3.Connection, site: str, ident: str) -> Row | None:
    """One printing, without its document."""
    found: Row | None = db.execute(
        f"SELECT {_SHOWN} FROM printing WHERE site = ? AND id = ?",
        (site, ident),
    ).fetchone()
    return found


def document(db: sqlite3.Connection, site: str, ident: str) -> bytes:
    """The document of a printing."""
    row = db.execute(
        "SELECT document FROM printing WHERE site = ? AND id = ?", (site, ident)
    ).fetchone()
    return bytes(row["document"]) if row else b""


def page(db: sqlite3.Connection, site: str, *, before: int, limit: int) -> list[Row]:
    """A page of printings, newest first."""
    return db.execute(
        f"SELECT {_SHOWN} FROM printing WHERE site = ? AND number < ? ORDER BY number DESC LIMIT ?",
        (site, before, limit),
    ).fetchall()


def due(db: sqlite3.Connection, site: str, *, at: str) -> list[Row]:
    """What is to be done now: each printer's next to be sent, and those to be asked after.

    Labels leave the printer in the order in which they were asked for: one that cannot be sent
    holds up those behind it.
    """
    return db.execute(
        f"SELECT {_SHOWN} FROM printing p WHERE site = ? AND stage IN {_OPEN}"
        " AND next_at <= ? AND NOT EXISTS (SELECT 1 FROM printing q WHERE q.site = p.site"
        f" AND q.printer = p.printer AND q.stage IN {_NOT_SENT} AND q.number < p.number)"
        " ORDER BY number",
        (site, at),
    ).fetchall()


def move(
    db: sqlite3.Connection,
    site: str,
    ident: str,
    *,
    stage: str,
    printer_job: int,
    tries: int,
    next_at: str,
    words: str,
    ended_at: str,
) -> None:
    """Note how far a printing is."""
    db.execute(
        "UPDATE printing SET stage = ?, printer_job = ?, tries = ?, next_at = ?, words = ?,"
        " ended_at = ? WHERE site = ? AND id = ?",
        (stage, printer_job, tries, next_at, words, ended_at, site, ident),
    )


def note_printed(
    db: sqlite3.Connection, site: str, codes: Iterable[str], printing: str, *, at: str
) -> None:
    """Count one more copy of each of these tags."""
    db.executemany(
        "INSERT INTO tag_printed (site, code, printing, at) VALUES (?, ?, ?, ?)"
        " ON CONFLICT DO NOTHING",
        [(site, code, printing, at) for code in codes],
    )


def copies(db: sqlite3.Connection, site: str, code: str) -> int:
    """How many copies of a tag were printed."""
    row = db.execute(
        "SELECT count(*) AS n FROM tag_printed WHERE site = ? AND code = ?", (site, code)
    ).fetchone()
    return int(row["n"])
