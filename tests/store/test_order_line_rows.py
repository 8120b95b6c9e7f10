"""Order lines and notices in the database: carried over from before, and never changed after."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from ledger_bench import Bench
from sqlite_utils import Migrations

from partsvc.domain.order_lines import LineFacts, LineKind, LineState, fold
from partsvc.store import migrations, order_lines
from partsvc.store.database import FILE, connect, tables
from partsvc.work.order_lines import NewLine, add

OLDER = """
INSERT INTO site (id, name, zone, created_at) VALUES ('w', 'Workshop', 'UTC', 't');
INSERT INTO account (site, id, kind, head) VALUES ('w', 'j1', 'job', 'h'), ('w', 'j2', 'job', 'h');
INSERT INTO job (site, id, number, title, opened_at)
  VALUES ('w', 'j1', 1, 'a van', '2030-01-01'), ('w', 'j2', 2, 'another', '2030-01-02');
INSERT INTO on_order (site, account, part, quantity, reference, promised) VALUES
  ('w', 'j1', 'A', 4, '4711', '2030-01-31'), ('w', 'j1', 'B', 2, '', ''),
  ('w', 'j1', 'C', 0, 'came', ''), ('w', 'j2', 'A', 1, '', '');
"""


def test_what_was_noted_as_on_order_before_is_a_line_now(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    every = migrations.migrations.pending(tables(sqlite3.connect(":memory:", isolation_level=None)))
    older, now = Migrations("partsvc"), migrations.migrations
    for one in every:
        if one.name == "m017_order_lines":
            break
        older()(one.fn)
    monkeypatch.setattr(migrations, "migrations", older)
    migrations.prepare(tmp_path, stamp="older")
    with closing(connect(tmp_path / FILE)) as db:
        db.executescript(OLDER)
    monkeypatch.setattr(migrations, "migrations", now)

    migrations.prepare(tmp_path, stamp="newer")

    with closing(connect(tmp_path / FILE)) as db:
        found = {job: order_lines.of_job(db, "w", job) for job in ("j1", "j2")}
    told = [
        (job, facts.what, int(state.asked), state.reference, state.promised, state.state)
        for job, lines in found.items()
        for facts, events in lines.items()
        for state in [fold(events)]
    ]
    assert told == [
        ("j1", "A", 4, "4711", "2030-01-31", LineState.ORDERED),
        ("j1", "B", 2, "", "", LineState.ORDERED),
        ("j2", "A", 1, "", "", LineState.ORDERED),
    ]


@pytest.fixture
def line(bench: Bench) -> str:
    """A line of four bolts on a job without a procedure."""
    job = bench.open_job()
    with bench.service.database.writing() as db:
        asked = NewLine(part="A", quantity=4)
        return add(bench.service, db, bench.sender("desk"), job, asked).line.id


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE order_line SET what = 'B'",
        "DELETE FROM order_line",
        "UPDATE order_event SET amount = '5'",
        "DELETE FROM order_event",
        "INSERT OR REPLACE INTO order_event SELECT * FROM order_event",
        "INSERT OR IGNORE INTO order_event SELECT site, line, 9, event, noted_by, at, amount,"
        " reference, promised, came, accepted, words, act FROM order_event",
        "INSERT OR REPLACE INTO order_line SELECT * FROM order_line",
    ],
)
def test_what_was_noted_is_never_changed(bench: Bench, line: str, statement: str) -> None:
    with (
        closing(sqlite3.connect(bench.service.database.path)) as db,
        pytest.raises(sqlite3.IntegrityError, match="order_"),
    ):
        db.execute(statement)


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE notice SET words = 'nothing'",
        "DELETE FROM notice",
        "INSERT OR REPLACE INTO notice SELECT * FROM notice",
        "UPDATE notice_tick SET words = 'nothing'",
        "DELETE FROM notice_tick",
        "INSERT OR REPLACE INTO notice_tick SELECT * FROM notice_tick",
    ],
)
def test_what_the_desk_was_told_is_never_changed(bench: Bench, statement: str) -> None:
    job = bench.open_job()
    bench.act(job, "issue", part="A", quantity=1, bag=bench.tags[0], source="bench")
    with closing(sqlite3.connect(bench.service.database.path)) as db:
        db.execute("INSERT INTO notice_tick SELECT site, n, 'desk', 't', '' FROM notice")
        with pytest.raises(sqlite3.IntegrityError, match="notice"):
            db.execute(statement)


def test_a_line_of_another_job_keeps_its_own_order(bench: Bench) -> None:
    jobs = [bench.open_job(), bench.open_job()]
    with bench.service.database.writing() as db:
        for n, job in enumerate(jobs * 2):
            facts = LineFacts(id=f"o{n}", job=job, kind=LineKind.PART, what="A")
            order_lines.add_line(db, bench.service.site, facts)
        rows = db.execute("SELECT account, n FROM order_line ORDER BY id").fetchall()

    assert [(row["account"], row["n"]) for row in rows] == [
        (jobs[0], 1), (jobs[1], 1), (jobs[0], 2), (jobs[1], 2),
    ]  # fmt: skip
