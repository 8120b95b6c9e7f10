"""How far every open job is, in one query, and the same as its own account of zones."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from ledger_bench import Bench, position, step

from partsvc.work.in_place import InPlace, in_place_by_job
from partsvc.work.picture_board import picture_board


@pytest.fixture
def job(bench: Bench) -> str:
    return bench.open_job(
        step(
            "S1",
            10,
            position("P1", {"part": "A", "rule": "replace"}, sets=4),
            position("P2", {"part": "C"}, sets=2),
        ),
        step("S2", 20, position("P3", {"part": "E"}, sets=1)),
    )


def figures(bench: Bench, job: str) -> tuple[int, int, int]:
    found = in_place_by_job(bench.service)[job]
    return found.secured, found.loose, found.off


@contextmanager
def the_same_as_by_zone(bench: Bench, job: str) -> Iterator[None]:
    yield
    now = picture_board(bench.service, job).now
    assert figures(bench, job) == (
        now.still_on + now.secured_again, now.loose, now.off + now.missing,
    )  # fmt: skip


def test_it_says_the_same_as_the_zones_all_day_long(bench: Bench, job: str) -> None:
    one, kit, old = bench.tags[:3]
    with the_same_as_by_zone(bench, job):
        assert figures(bench, job) == (7, 0, 0)
    with the_same_as_by_zone(bench, job):
        bench.act(job, "missing", position="P3")
    with the_same_as_by_zone(bench, job):
        bench.act(job, "remove", step="S1", bag=one)
        assert figures(bench, job) == (0, 0, 7)
    with the_same_as_by_zone(bench, job):
        bench.act(job, "exchange", "desk", bag=one, old_parts=old)
        bench.act(job, "fit", position="P1", bag=one)
        assert figures(bench, job) == (0, 4, 3)
    with the_same_as_by_zone(bench, job):
        done = bench.act(job, "secure", position="P1")
    with the_same_as_by_zone(bench, job):
        bench.act(job, "reverse", act=done["key"], reason="a slip")
    with the_same_as_by_zone(bench, job):
        new = {"where": "behind", "quantity": 2, "step": "S1", "part": "B"}
        added = bench.act(job, "remove", bag=kit, add=new)  # type: ignore[arg-type]
    with the_same_as_by_zone(bench, job):
        bench.act(job, "reverse", act=added["key"], reason="it was not there")


def test_a_job_that_is_closed_or_has_no_pieces_is_not_told(bench: Bench, job: str) -> None:
    empty = bench.open_job()

    found = in_place_by_job(bench.service)

    assert (empty in found, found[job]) == (False, InPlace(belongs=7, secured=7, loose=0))
