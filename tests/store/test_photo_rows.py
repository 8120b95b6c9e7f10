"""What photos are of is made from the acts' texts: for an older database too, whatever they say."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from ledger_bench import Bench, position, step

from partsvc.domain.photo_subjects import Shows, Subject, photos_in, shows, subjects, words_of
from partsvc.store import photos
from partsvc.store.database import FILE, connect

HASH = "ab" * 32


def everything(db: sqlite3.Connection) -> list[tuple[object, ...]]:
    return [tuple(row) for row in db.execute("SELECT * FROM photo_of ORDER BY 1, 2, 3, 4, 7, 8")]


def working_day(folder: Path) -> None:
    bench = Bench.opened(folder)
    job = bench.open_job(
        step("S1", 10, position("P1", {"part": "C"}, sets=2), position("P2", {"part": "B"}, sets=1))
    )
    bench.act(job, "remove", position="P1", bag=bench.tags[0], photos=[HASH, "cd" * 32])
    bench.act(job, "remove", position="P2", bag=bench.tags[1])
    bench.act(job, "remark", position="P1", words='a "photos":[ in words', photos=[HASH])
    bench.act(job, "secure", position="P1", bag=bench.tags[0])
    bench.act(job, "remark", position="P1", words="a scratch", photos=[HASH])
    bench.act(job, "stow", tags=bench.tags[:2], at="rack 2", photos=[HASH])
    bench.service.database.close()


def test_photos_of_acts_recorded_before_are_found_too(tmp_path: Path) -> None:
    working_day(tmp_path)
    with closing(connect(tmp_path / FILE)) as db:
        kept = everything(db)
        db.execute("DELETE FROM photo_of")

        photos.index_all(db)

        assert (len(kept), everything(db)) == (6, kept)


def test_an_act_whose_text_was_broken_is_told_and_stops_nothing(tmp_path: Path) -> None:
    working_day(tmp_path)
    with closing(connect(tmp_path / FILE)) as db:
        (site,) = db.execute("SELECT id FROM site").fetchone()
        assert photos.astray(db, site) == []
        for (trigger,) in db.execute(
            "SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = 'act'"
        ).fetchall():
            db.execute(f"DROP TRIGGER {trigger}")
        db.execute("UPDATE act SET text = '{\"photos\":[' || text WHERE seq = 2")

        assert [seq for _, seq in photos.astray(db, site)] == [2]


@pytest.mark.parametrize(
    ("kind", "when", "expected"),
    [
        ("remove", None, Shows.BEFORE),
        ("secure", None, Shows.AFTER),
        ("remark", None, None),
        ("picture", None, None),
        ("picture", "after", Shows.AFTER),
    ],
)
def test_an_act_says_whether_it_was_before_or_leaves_it_open(
    kind: str, when: str | None, expected: Shows | None
) -> None:
    request = {"photos": [HASH]} | ({"when": when} if when else {})

    assert shows({"kind": kind, "request": request}) is expected


def test_a_photo_of_several_bags_is_of_each_by_itself() -> None:
    said = {
        "kind": "stow", "step": "S1",
        "request": {"tags": ["3456-78cy", "345678CY"], "bag": "HTTPS://BENCH.EXAMPLE/T/4TPAVV4F",
                    "photos": [HASH, HASH], "note": "on the trolley"},
    }  # fmt: skip

    assert subjects(said) == (
        Subject(step="S1", bag="4TPAVV4F"),
        Subject(step="S1", bag="345678CY"),
    )
    assert (photos_in(said), words_of(said)) == ((HASH,), "on the trolley")


def test_an_act_that_speaks_of_nothing_is_of_its_step() -> None:
    assert subjects({"kind": "done", "step": "S1", "request": {}}) == (Subject(step="S1"),)
