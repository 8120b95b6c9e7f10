"""An older database is carried forward whole, after a copy of it was put aside, or not at all."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from ledger_bench import Bench, position, step
from sqlite_utils import Database as Tables
from sqlite_utils import Migrations

from partsvc.store import migrations
from partsvc.store.database import FILE, connect, tables
from partsvc.work import upkeep

FRESH = tables(sqlite3.connect(":memory:", isolation_level=None))
ALL = tuple(one.name for one in migrations.migrations.pending(FRESH))
# What an older program, with the same tables, did not keep yet: rules of the database only.
NOT_YET = "m003_more_rules"
STAMP = "20300131T081500Z"


@pytest.fixture
def steps(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Sets which steps the program knows, by the functions that make them."""
    real = {one.name: one.fn for one in migrations.migrations.pending(tables(_empty()))}

    def known(*wanted: str | Callable[[Tables], None]) -> None:
        fresh = Migrations("partsvc")
        for one in wanted:
            fresh()(real[one] if isinstance(one, str) else one)
        monkeypatch.setattr(migrations, "migrations", fresh)

    return known


def _empty() -> sqlite3.Connection:
    return sqlite3.connect(":memory:", isolation_level=None)


def everything(path: Path) -> list[str]:
    """All of a database, its rules and its rows, as text."""
    with closing(sqlite3.connect(path)) as db:
        return list(db.iterdump())


def copies(folder: Path) -> list[Path]:
    return sorted(folder.glob("before-migration-*"))


def working_day(folder: Path) -> tuple[Bench, str]:
    bench = Bench.opened(folder)
    job = bench.open_job(step("S1", 10, position("P1", {"part": "C"}, sets=2)))
    bench.act(job, "remove", position="P1", bag=bench.tags[0])
    bench.service.database.close()
    return bench, job


def test_a_new_folder_gets_every_step_and_no_copy(tmp_path: Path) -> None:
    assert migrations.prepare(tmp_path, stamp=STAMP) == ALL
    assert copies(tmp_path) == []


def test_applying_again_changes_nothing(tmp_path: Path) -> None:
    working_day(tmp_path)
    before = everything(tmp_path / FILE)

    assert migrations.prepare(tmp_path, stamp=STAMP) == ()
    assert everything(tmp_path / FILE) == before
    assert copies(tmp_path) == []


def test_an_older_database_is_carried_forward_and_its_copy_kept(
    tmp_path: Path, steps: Callable[..., None]
) -> None:
    steps("m001_tables")
    assert migrations.prepare(tmp_path, stamp="older") == ("m001_tables",)
    before = everything(tmp_path / FILE)

    steps(*ALL)
    applied = migrations.prepare(tmp_path, stamp=STAMP)

    assert applied == ALL[1:]
    (copy,) = copies(tmp_path)
    assert everything(copy) == before
    with pytest.raises(sqlite3.IntegrityError), closing(connect(tmp_path / FILE)) as db:
        db.execute(
            "INSERT INTO account (site, id, kind, head_seq, head) VALUES ('s','a','job',7,'')"
        )


def test_a_day_recorded_by_an_older_program_goes_on_in_a_newer_one(
    tmp_path: Path, steps: Callable[..., None]
) -> None:
    steps(*(one for one in ALL if one != NOT_YET))
    bench, job = working_day(tmp_path)
    steps(*ALL)

    newer = Bench.opened_again(tmp_path)
    newer.act(job, "secure", position="P1", bag=bench.tags[0])

    assert len(copies(tmp_path)) == 1
    assert newer.kinds_of(job) == ["open", "remove", "secure"]
    assert upkeep.check(newer.service).faults == ()


def breaks_half_way(db: Tables) -> None:
    db.execute("UPDATE part SET name = 'renamed'")
    db.execute("CREATE TABLE extra (id TEXT)")
    db.execute("SELECT nothing FROM nowhere")


def breaks_a_reference(db: Tables) -> None:
    db.execute("INSERT INTO token VALUES ('nowhere', 'h', 'nobody', 'd', 'x', 'x', 0)")


def adds_a_table(db: Tables) -> None:
    db.execute("CREATE TABLE extra (id TEXT)")


@pytest.mark.parametrize("failing", [breaks_half_way, breaks_a_reference])
def test_a_step_that_fails_leaves_the_older_database_as_it_was(
    tmp_path: Path, steps: Callable[..., None], failing: Callable[[Tables], None]
) -> None:
    _, job = working_day(tmp_path)
    before = everything(tmp_path / FILE)
    steps(*ALL, adds_a_table, failing)

    with pytest.raises(sqlite3.Error):
        migrations.prepare(tmp_path, stamp=STAMP)

    assert everything(tmp_path / FILE) == before
    steps(*ALL)
    assert Bench.opened_again(tmp_path).kinds_of(job) == ["open", "remove"]


def test_a_step_that_failed_is_tried_again_whole(
    tmp_path: Path, steps: Callable[..., None]
) -> None:
    working_day(tmp_path)
    steps(*ALL, breaks_half_way)
    with pytest.raises(sqlite3.Error):
        migrations.prepare(tmp_path, stamp="first")

    steps(*ALL, adds_a_table)

    assert migrations.prepare(tmp_path, stamp="second") == ("adds_a_table",)
    assert len(copies(tmp_path)) == 2
