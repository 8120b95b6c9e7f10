"""A job day by day: nothing left out, refusals and undone acts among it, a long day in pages."""

from __future__ import annotations

import pytest
from ledger_bench import Bench, position, step

from partsvc.work.timeline import MOST_ON_A_PAGE, Line, timeline_of


@pytest.fixture
def job(bench: Bench) -> str:
    return bench.open_job(
        step("S1", 10, position("P1", {"part": "B"}, sets=2)),
        step("S2", 20, position("P2", {"part": "C"}, sets=1), after=["S1"]),
    )


def lines(bench: Bench, job: str, **asked: int) -> list[Line]:
    told = timeline_of(bench.service, job, **asked)  # type: ignore[arg-type]
    return [line for shift in told.shifts for line in shift.lines]


def test_what_was_done_refused_and_undone_is_told_with_its_place_and_person(
    bench: Bench, job: str
) -> None:
    bench.refused(job, "remove", "mate", position="P2", bag=bench.tags[0])
    done = bench.act(job, "remove", position="P1", bag=bench.tags[0], note="stiff")
    bench.act(job, "reverse", act=done["key"], reason="the wrong bag")

    told = [(one.by, one.sort, one.words, one.said, one.undone) for one in lines(bench, job)]

    assert ("tech", "off", "taken off", "stiff", True) in told
    assert ("tech", "undone", "undone", "the wrong bag", False) in told
    ((by, words, said),) = [
        (one.by, one.words, one.said) for one in lines(bench, job) if one.sort == "refused"
    ]
    assert (by, words) == ("mate", "taken off")
    assert said
    place = next(one for one in lines(bench, job) if one.said == "stiff")
    assert (place.step_number, place.wheres) == (10, ("at P1",))


def test_a_place_that_was_added_later_is_called_by_its_name(bench: Bench, job: str) -> None:
    new = {"where": "behind the tray", "quantity": 1, "step_title": "the tray", "words": "clip"}
    bench.act(job, "remove", add=new, bag=bench.tags[0])  # type: ignore[arg-type]

    assert lines(bench, job)[-1].step_title == "the tray"


def test_a_long_day_is_read_in_pages_and_every_act_is_on_one(bench: Bench, job: str) -> None:
    for n in range(MOST_ON_A_PAGE + 20):
        bench.act(job, "remark", words=f"remark {n}", position="P1")

    first = timeline_of(bench.service, job)
    assert first.day is not None
    rest = timeline_of(bench.service, job, first=first.later)

    told = [line.seq for page in (first, rest) for shift in page.shifts for line in shift.lines]
    assert len(told) == len(set(told)) == first.day.moments
    assert (rest.later, rest.earlier) == (0, 0)
    assert sum(lane.moments for lane in first.lanes) == first.day.moments


def test_a_day_on_which_nothing_happened_is_empty(bench: Bench, job: str) -> None:
    told = timeline_of(bench.service, job, day="1999-01-01")

    assert (told.day, told.shifts, told.lanes) == (None, (), ())
