"""Carries an older database forward: numbered steps, each applied whole with its own record.

A database that already holds records is copied beside itself before the first step touches it.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from sqlite_utils import Database as Tables
from sqlite_utils import Migrations

from partsvc.store import tables as schema
from partsvc.store import tables_printing, triggers
from partsvc.store.database import FILE, connect, tables

migrations = Migrations("partsvc")


def _run(db: Tables, script: str) -> None:
    for statement in _statements(script):
        db.execute(statement)


def _statements(script: str) -> list[str]:
    """Split a script at the ends of its statements; a trigger's body is one statement."""
    found: list[str] = []
    part = ""
    for line in script.splitlines(keepends=True):
        part += line
        if sqlite3.complete_statement(part):
            found.append(part.strip())
            part = ""
    return [statement for statement in found if statement]


@migrations()
def m001_tables(db: Tables) -> None:
    """The first tables."""
    _run(db, schema.FIRST)


@migrations()
def m002_triggers(db: Tables) -> None:
    """The rules the database keeps itself."""
    _run(db, triggers.FIRST)


@migrations()
def m003_more_rules(db: Tables) -> None:
    """Rows that could be replaced, and places that nobody knows."""
    _run(db, triggers.SECOND)


@migrations()
def m019_printing(db: Tables) -> None:
    """Printers, and what waits to be printed on them."""
    _run(db, tables_printing.PRINTING)


def prepare(folder: Path, *, stamp: str) -> tuple[str, ...]:
    """Bring the database in this folder up to date; answers the names of the steps applied.

    `stamp` names the copy that is made first when there is anything to lose. When any step fails,
    the database is what it was before the first.
    """
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / FILE
    copy = folder / f"before-migration-{stamp}.sqlite3"
    with closing(connect(path)) as connection:
        db = tables(connection)
        pending = tuple(step.name for step in migrations.pending(db))
        if not pending:
            return ()
        something_to_lose = bool(db.table_names())
        if something_to_lose:
            back_up(path, copy)
        try:
            _apply(connection, db)
        except BaseException:
            if something_to_lose:
                back_up(copy, path)
            raise
        return pending


def _apply(connection: sqlite3.Connection, db: Tables) -> None:
    # Tables are rebuilt by some steps; foreign keys are checked as a whole afterwards.
    connection.execute("PRAGMA foreign_keys = off")
    migrations.apply(db)
    broken = connection.execute("PRAGMA foreign_key_check").fetchall()
    if broken:
        raise sqlite3.IntegrityError(f"foreign keys broken after migration: {broken[0][0]}")


def back_up(source: Path, target: Path) -> None:
    """A consistent copy of a live database, made page by page by SQLite itself."""
    with closing(sqlite3.connect(source)) as live, closing(sqlite3.connect(target)) as copy:
        live.backup(copy)
