"""The shelf is shared out by the day of need: held against a count piece by piece."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

import pytest
from ledger_bench import WORKSHOP, Bench, position, step

from partsvc.store import keeping
from partsvc.work.desk_order import order_of_all

DAYS = ("", "2031-05-01", "2031-05-02", "2031-06-01")


@dataclass(frozen=True, slots=True)
class Wanting:
    """A job that wants so many of one part by a day."""

    job: str
    number: int
    day: str
    wanted: int


def opened(bench: Bench, rng: Random) -> Wanting:
    wanted = rng.randint(1, 5)
    bolts = position("P1", {"part": "A", "rule": "replace"}, sets=wanted)
    job, day = bench.open_job(step("S1", 10, bolts)), rng.choice(DAYS)
    with bench.service.database.writing() as db:
        row = keeping.job(db, bench.service.site, job)
        assert row is not None
        keeping.change_job(
            db, bench.service.site, ident=job, version=row["version"], title="a van", needed_by=day
        )
    return Wanting(job, row["number"], day, wanted)


def piece_by_piece(jobs: list[Wanting], free: int, own: dict[str, int]) -> dict[str, int]:
    """How many each job lacks, each piece given to the first in turn that still wants one."""
    lacking = {one.job: one.wanted for one in jobs}
    for job, came in own.items():
        lacking[job] = max(0, lacking[job] - came)
    turn = sorted(jobs, key=lambda one: (one.day == "", one.day, one.number))
    for _ in range(free):
        for one in turn:
            if lacking[one.job]:
                lacking[one.job] -= 1
                break
    return lacking


@pytest.mark.parametrize("seed", range(12))
def test_each_piece_goes_to_the_van_that_is_needed_first(bench: Bench, seed: int) -> None:
    rng = Random(seed)
    jobs = [opened(bench, rng) for _ in range(4)]
    free, own = rng.randint(0, 8), dict.fromkeys((rng.choice(jobs).job,), rng.randint(1, 3))
    if free:
        bench.act(WORKSHOP, "receive", "desk", part="A", quantity=free)
    for job, came in own.items():
        bench.act(WORKSHOP, "receive", "desk", part="A", quantity=came, job=job)

    lines = order_of_all(bench.service).lines

    expected = {job: lacks for job, lacks in piece_by_piece(jobs, free, own).items() if lacks}
    told = {need.job: need.lacking for line in lines for need in line.jobs}
    assert told == expected
    assert sum(line.to_order for line in lines) == sum(expected.values())
    days = [one.day or "9999" for one in jobs if one.job in expected]
    assert [line.by or "9999" for line in lines] == ([min(days)] if days else [])
