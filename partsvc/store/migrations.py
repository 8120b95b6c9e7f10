"""Carries an older database forward: numbered steps, each applied whole with its own record.

A database that already holds records is copied beside itself before the first step touches it.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from sqlite_utils import Database as Tables
from sqlite_utils import Migrations

from partsvc.store import (
    photos,
    tables_between,
    tables_boards,
    tables_endings,
    tables_histories,
    tables_holds,
    tables_numbers,
    tables_orders,
    tables_pages,
    tables_people,
    tables_photos,
    tables_printing,
    triggers,
)
from partsvc.store import tables as schema
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
def m012_jobs_of_a_vehicle(db: Tables) -> None:
    """An index for what is read over all jobs of one vehicle."""
    _run(db, tables_histories.VEHICLE_JOBS)


@migrations()
def m005_people(db: Tables) -> None:
    """Qualifications, who stood by, permits to work alone, queued acts that were refused."""
    _run(db, tables_people.PEOPLE)
    _run(db, triggers.ALONE_PERMIT)


@migrations()
def m010_equipment(db: Tables) -> None:
    """Instruments, gloves and lifts, with the dates by which they are to be checked."""
    _run(db, tables_holds.EQUIPMENT)


@migrations()
def m011_shifts(db: Tables) -> None:
    """When the workshop's shifts end."""
    _run(db, tables_holds.SHIFTS)


@migrations()
def m015_away(db: Tables) -> None:
    """Ways to find what is out of the house, over all jobs."""
    _run(db, tables_between.AWAY)


@migrations()
def m016_between_jobs(db: Tables) -> None:
    """Ways to find what other books say of a job, and what a stray could be of."""
    _run(db, tables_between.BETWEEN)


@migrations()
def m017_order_lines(db: Tables) -> None:
    """Order lines with what becomes of them; what had been noted as on order becomes one."""
    _run(db, tables_orders.ORDERS)
    _run(db, triggers.ORDER_LINES)
    _run(db, tables_orders.CARRIED_OVER)


@migrations()
def m018_notices(db: Tables) -> None:
    """What the parts desk is told, and what of it is ticked off."""
    _run(db, tables_orders.NOTICES)
    _run(db, triggers.NOTICES)


@migrations()
def m019_printing(db: Tables) -> None:
    """Printers, and what waits to be printed on them."""
    _run(db, tables_printing.PRINTING)


@migrations()
def m007_effects_by_kind(db: Tables) -> None:
    """What was said of part numbers is found among all effects of a vehicle's jobs."""
    _run(db, tables_numbers.EFFECTS_BY_KIND)


@migrations()
def m013_boards(db: Tables) -> None:
    """Boards and trays whose numbered pockets carry tags of their own."""
    _run(db, tables_boards.BOARDS)
    _run(db, triggers.BOARDS)


@migrations()
def m008_jobs_handed_over(db: Tables) -> None:
    """A job may end without a release."""
    tables_endings.more_job_states(db)


@migrations()
def m009_takeovers(db: Tables) -> None:
    """A later job takes over what is left of one that ended incomplete, its tags with it."""
    _run(db, tables_endings.TAKEOVER)
    _run(db, triggers.TAKEOVER)


@migrations()
def m020_photos_and_badges(db: Tables) -> None:
    """What the photos in acts are of, and badges: tags that are a person's."""
    _run(db, tables_photos.PHOTOS)
    _run(db, triggers.BADGES)
    photos.index_all(db.conn)


@migrations()
def m021_pages(db: Tables) -> None:
    """Each person's language and units; rack places and badges found at once."""
    _run(db, tables_pages.PAGES)


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
