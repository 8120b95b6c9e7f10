"""A job's end in the tables: one word more for its state, one exception to a tag's one job."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from ledger_bench import Bench, position, step
from sqlite_utils import Database as Tables

from partsvc.store import checking, endings, tables_endings
from partsvc.work import upkeep


def ended(bench: Bench, tag: int = 0) -> str:
    job = bench.open_job(step("S1", 10, position("P1", {"part": "C"}, sets=2)))
    bench.act(job, "remove", position="P1", bag=bench.tags[tag])
    bench.act(job, "hand-over-incomplete", "lead", why="cancelled", to="the owner")
    return job


def test_a_tag_goes_along_to_the_job_that_took_over_and_to_no_other(bench: Bench) -> None:
    old, new, other = ended(bench), bench.open_job(), bench.open_job()
    site = bench.service.site
    with bench.service.database.writing() as db:
        endings.add_takeover(db, site, old=old, new=new, old_number=1)
        with pytest.raises(sqlite3.IntegrityError, match="one job for life"):
            endings.move_tags(db, site, old=old, new=other)
        endings.move_tags(db, site, old=old, new=new)
        moved = db.execute("SELECT account FROM tag WHERE code = ?", (bench.tags[0],)).fetchone()

        assert moved["account"] == new
        with pytest.raises(sqlite3.IntegrityError, match="one job for life"):
            endings.move_tags(db, site, old=new, new=old)


def test_only_a_job_that_ended_incomplete_is_taken_over_and_only_once(bench: Bench) -> None:
    old, going_on, new = ended(bench), bench.open_job(), bench.open_job()
    site = bench.service.site
    with bench.service.database.writing() as db:
        with pytest.raises(sqlite3.IntegrityError, match="did not end incomplete"):
            endings.add_takeover(db, site, old=going_on, new=new, old_number=2)
        endings.add_takeover(db, site, old=old, new=new, old_number=1)
        with pytest.raises(sqlite3.IntegrityError, match="taken over once"):
            endings.add_takeover(db, site, old=old, new=going_on, old_number=1)
        with pytest.raises(sqlite3.IntegrityError, match="never changed"):
            db.execute("UPDATE takeover SET new = ?", (going_on,))


def test_the_jobs_before_a_job_are_found_from_the_first_on(bench: Bench) -> None:
    first, second, third = ended(bench), ended(bench, 1), bench.open_job()
    site = bench.service.site
    with bench.service.database.writing() as db:
        endings.add_takeover(db, site, old=first, new=second, old_number=1)
        endings.add_takeover(db, site, old=second, new=third, old_number=2)

        assert endings.earlier(db, site, third) == [first, second]
        assert endings.takeovers(db, site) == {first: second, second: third}


def test_a_takeover_that_no_opening_speaks_of_is_found(bench: Bench) -> None:
    old, new = ended(bench), bench.open_job()
    with bench.service.database.writing() as db:
        endings.add_takeover(db, bench.service.site, old=old, new=new, old_number=1)

    assert [fault.where for fault in upkeep.check(bench.service).faults] == ["takeovers"]


def test_the_table_of_jobs_made_anew_keeps_rows_rules_and_indexes(tmp_path: Path) -> None:
    before = "IN ('open', 'released')"
    with closing(sqlite3.connect(tmp_path / "old.sqlite3", isolation_level=None)) as db:
        db.execute(f"CREATE TABLE job (site TEXT, id TEXT, state TEXT CHECK (state {before}))")
        db.execute("CREATE INDEX job_by_state ON job (site, state)")
        db.execute(
            "CREATE TRIGGER job_never_deleted BEFORE DELETE ON job"
            " BEGIN SELECT RAISE(ABORT, 'never'); END"
        )
        db.execute("CREATE VIEW open_job AS SELECT id FROM job WHERE state = 'open'")
        db.execute("INSERT INTO job VALUES ('s', 'j1', 'open'), ('s', 'j2', 'released')")

        tables_endings.more_job_states(Tables(db, execute_plugins=False))

        db.execute("UPDATE job SET state = 'handed-over' WHERE id = 'j2'")
        rows = db.execute("SELECT id, state FROM job ORDER BY id").fetchall()
        assert rows == [("j1", "open"), ("j2", "handed-over")]
        assert db.execute("SELECT id FROM open_job").fetchall() == [("j1",)]
        with pytest.raises(sqlite3.IntegrityError, match="never"):
            db.execute("DELETE FROM job")
        names = {row[0] for row in db.execute("SELECT name FROM sqlite_master")}
        assert names == {"job", "job_by_state", "job_never_deleted", "open_job"}


def test_the_rules_of_a_new_database_are_those_it_is_checked_by(bench: Bench) -> None:
    with bench.service.database.reading() as db:
        assert checking.missing_rules(db) == []
