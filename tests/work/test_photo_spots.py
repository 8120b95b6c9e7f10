"""Tapping on a photo: told, told anew, undone; at positions of the plan and at new ones."""

from __future__ import annotations

import pytest
from ledger_bench import Bench, position, step

from partsvc.domain.photo_marks import SpotState
from partsvc.domain.records import Plain
from partsvc.errors import Invalid, NotFound
from partsvc.store import people
from partsvc.work.pictures import PicturesWanted, StepPicture, job_pictures

PHOTO, OTHER = "5f" * 32, "a0" * 32
NEVER_SENT = "00000000-0000-4000-8000-000000000000"


@pytest.fixture
def job(bench: Bench) -> str:
    with bench.service.database.writing() as db:
        for digest in (PHOTO, OTHER):
            people.add_photo(
                db, bench.service.site, digest=digest, jpeg=b"-", by="tech", at="2030-01-01"
            )
    return bench.open_job(
        step(
            "S1", 10, position("P1", {"part": "B"}, sets=4), position("P2", {"part": "C"}, sets=1)
        ),
        step("S2", 20, position("P3", {"part": "E"}, sets=1)),
    )


def spot(x: int, y: int, at: str = "P1", **more: Plain) -> dict[str, Plain]:
    return {"x_permille": x, "y_permille": y, **({"position": at} if at else {}), **more}


def pictures(bench: Bench, job: str, step: str | None = None) -> list[StepPicture]:
    return list(job_pictures(bench.service, job, PicturesWanted(step=step)).pictures)


def told(bench: Bench, job: str) -> list[tuple[int, int, int, str]]:
    (one,) = pictures(bench, job)
    return [(mark.order, mark.x_permille, mark.y_permille, mark.position) for mark in one.marks]


def test_spots_on_a_photo_just_taken_need_no_hash(bench: Bench, job: str) -> None:
    bench.act(job, "spots", step="S1", photos=[PHOTO], spots=[spot(100, 200), spot(900, 800, "P2")])

    assert told(bench, job) == [(1, 100, 200, "P1"), (2, 900, 800, "P2")]
    (one,) = pictures(bench, job, "S1")
    assert (one.steps, one.shows, one.spots_by, one.by) == (("S1",), "before", "tech", "tech")


def test_what_is_told_later_takes_the_place_of_it_and_undone_the_former_stands_again(
    bench: Bench, job: str
) -> None:
    bench.act(job, "picture", step="S1", photos=[PHOTO])
    bench.act(job, "spots", step="S1", photo=PHOTO, spots=[spot(100, 200)])
    later = bench.act(job, "spots", "mate", step="S1", photo=PHOTO, spots=[spot(5, 5), spot(9, 9)])
    assert told(bench, job) == [(1, 5, 5, "P1"), (2, 9, 9, "P1")]

    bench.act(job, "reverse", act=later["key"], reason="the wrong photo")

    assert told(bench, job) == [(1, 100, 200, "P1")]


def test_no_spots_take_back_what_was_told(bench: Bench, job: str) -> None:
    bench.act(job, "spots", step="S1", photos=[PHOTO], spots=[spot(100, 200)])

    bench.act(job, "spots", step="S1", photo=PHOTO)

    assert told(bench, job) == []


def test_each_spot_shows_how_far_its_position_is(bench: Bench, job: str) -> None:
    bench.act(job, "spots", step="S1", photos=[PHOTO], spots=[spot(1, 1), spot(2, 2, "P2")])

    def states() -> list[str]:
        return [mark.state for mark in pictures(bench, job)[0].marks]

    assert states() == [SpotState.SECURED, SpotState.SECURED]
    bench.act(job, "remove", position="P1", bag=bench.tags[0], sets=2)
    assert states() == [SpotState.OFF, SpotState.SECURED]
    bench.act(job, "remove", position="P2", bag=bench.tags[1], broken=1)
    assert states() == [SpotState.OFF, SpotState.BROKEN]
    bench.act(job, "fit", position="P1", bag=bench.tags[0])
    assert states() == [SpotState.LOOSE, SpotState.BROKEN]
    bench.act(job, "secure", position="P1")
    assert states()[0] == SpotState.SECURED


def test_what_is_missing_on_arrival_is_missing_on_the_photo(bench: Bench, job: str) -> None:
    bench.act(job, "spots", step="S1", photos=[PHOTO], spots=[spot(2, 2, "P2")])

    bench.act(job, "missing", position="P2")

    assert [mark.state for mark in pictures(bench, job)[0].marks] == [SpotState.MISSING]


def test_a_place_nobody_had_planned_is_named_by_the_act_that_added_it(
    bench: Bench, job: str
) -> None:
    new: dict[str, Plain] = {
        "where": "behind the tray",
        "quantity": 2,
        "step": "S1",
        "words": "clip",
    }
    added = bench.act(job, "remove", add=new, bag=bench.tags[0])
    taps: list[Plain] = [spot(500, 500, "", added_by=added["key"])]

    bench.act(job, "spots", step="S1", photos=[PHOTO], spots=taps)

    ((mark,),) = [one.marks for one in pictures(bench, job)]
    assert (mark.where, mark.state, mark.pieces) == ("behind the tray", SpotState.OFF, 2)
    bench.act(job, "reverse", act=added["key"], reason="it was not there")
    assert told(bench, job) == []


def test_a_photo_shows_at_every_step_that_something_on_it_belongs_to(
    bench: Bench, job: str
) -> None:
    bench.act(job, "spots", step="S1", photos=[PHOTO], spots=[spot(1, 1), spot(2, 2, "P3")])

    assert [one.steps for one in pictures(bench, job, "S2")] == [("S1", "S2")]


@pytest.mark.parametrize(
    ("members", "problem", "says"),
    [
        ({"spots": [spot(1, 1)]}, Invalid, "which `photo`"),
        ({"photos": [PHOTO, OTHER]}, Invalid, "send just one"),
        ({"photo": OTHER, "spots": [spot(1, 1)]}, NotFound, "No act of this job"),
        ({"photos": [PHOTO], "spots": [spot(1, 1, "P9")]}, NotFound, "Spot 1: there is no"),
        ({"photos": [PHOTO], "spots": [spot(1, 1, "")]}, Invalid, "spot 1"),
        ({"photos": [PHOTO], "spots": [spot(1, 1001)]}, Invalid, "from 0 to 1000"),
        ({"photos": [PHOTO], "spots": [spot(1, 1)] * 61}, Invalid, "at most 60"),
        (
            {"photos": [PHOTO], "spots": [spot(1, 1, "", added_by=NEVER_SENT)]},
            NotFound,
            "is not in the book",
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_on_the_photo_is_said_and_nothing_is_recorded(
    bench: Bench, job: str, members: dict[str, Plain], problem: type[Exception], says: str
) -> None:
    with pytest.raises(problem, match=says):
        bench.act(job, "spots", step="S1", **members)

    assert pictures(bench, job) == []
