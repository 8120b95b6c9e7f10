"""Safety copies as the lead makes them, and how the service says that it stands."""

from __future__ import annotations

import sqlite3
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from ledger_bench import Bench

from partsvc.errors import NotFound
from partsvc.work import safety_copies
from partsvc.work.safety_copies import copies, copy_path, make_copy
from partsvc.work.service_standing import service_standing
from partsvc.work.upkeep import check

START = datetime(2030, 1, 7, 12, 0, tzinfo=UTC)


@pytest.fixture
def noon(bench: Bench) -> Bench:
    """The workshop at noon of a day."""
    bench.service.now = lambda: START
    return bench


def test_a_copy_is_named_by_its_time_and_opens(noon: Bench, tmp_path: Path) -> None:
    job = noon.open_job()
    noon.act(job, "remark", words="before the copy")

    made = make_copy(noon.service)

    assert made.name == "partsvc-20300107T120000Z.sqlite3"
    assert made.made_at == "2030-01-07T12:00:00.000Z"
    path = copy_path(noon.service, made.name)
    assert path.stat().st_size == made.size_bytes
    with sqlite3.connect(path) as db:
        assert db.execute("SELECT kind FROM act ORDER BY seq").fetchall()[-1] == ("remark",)
    db.close()


def test_two_copies_in_one_second_are_two(noon: Bench) -> None:
    made = [make_copy(noon.service).name for _ in range(3)]

    assert len(set(made)) == 3
    assert {one.name for one in copies(noon.service).copies} == set(made)


def test_copies_are_listed_newest_first_and_strange_files_are_not(noon: Bench) -> None:
    early = make_copy(noon.service)
    noon.service.now = lambda: START + timedelta(hours=3)
    late = make_copy(noon.service)
    folder = noon.service.database.folder / safety_copies.FOLDER
    (folder / "notes.txt").write_text("mine")
    (folder / "partsvc-20301399T990000Z.sqlite3").write_text("no such time")

    found = copies(noon.service)

    assert [one.name for one in found.copies] == [late.name, early.name]
    assert found.overdue == ""


@pytest.mark.parametrize(
    ("later", "says"),
    [
        (timedelta(hours=24), ""),
        (timedelta(hours=25), "more than a day old"),
        (timedelta(days=9, hours=1), "more than 9 days old"),
    ],
)
def test_an_old_copy_is_said_to_be_old(noon: Bench, later: timedelta, says: str) -> None:
    make_copy(noon.service)

    noon.service.now = lambda: START + later

    overdue = copies(noon.service).overdue
    assert says in overdue if says else overdue == ""


def test_that_there_is_no_copy_is_said(noon: Bench) -> None:
    assert "No safety copy" in copies(noon.service).overdue


@pytest.mark.parametrize(
    "name", ["../partsvc.sqlite3", "partsvc.sqlite3", "", ".", "partsvc-20300107T120000Z.sqlite3"]
)
def test_nothing_but_a_copy_is_given_out(noon: Bench, name: str) -> None:
    with pytest.raises(NotFound):
        copy_path(noon.service, name)


def test_how_the_service_stands_is_counted(noon: Bench) -> None:
    job = noon.open_job()
    noon.act(job, "remark", words="a line")

    standing = service_standing(noon.service)

    assert standing.acts == check(noon.service).acts
    assert (standing.jobs, standing.open_jobs, standing.photos) == (1, 1, 0)
    assert standing.database_bytes > 0
    assert 0 < standing.disk_free_bytes <= standing.disk_bytes
    assert standing.folder == str(noon.service.database.folder.absolute())
