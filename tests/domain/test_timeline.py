"""The days of a job: by day, by shift, and by person along the clock."""

from __future__ import annotations

import pytest

from partsvc.domain.acts.registry import KINDS
from partsvc.domain.timeline import Moment, Sort, days, hours_of, lanes, of_day, shifts, sort_of

BERLIN = "Europe/Berlin"


def moment(at: str, by: str = "ada", kind: str = "remove", seq: int = 1) -> Moment:
    return Moment(at=f"2030-{at}:00.000Z", by=by, kind=kind, sort=sort_of(kind), seq=seq)


def test_a_day_is_the_workshops_day_and_the_newest_comes_first() -> None:
    # Half past eleven at night in the workshop, and twenty to one there.
    found = days([moment("01-10T22:30"), moment("01-10T23:40", kind="hold")], BERLIN)

    assert [(one.day, one.moments) for one in found] == [("2030-01-11", 1), ("2030-01-10", 1)]
    assert found[0].by_sort == {Sort.HOLD: 1}
    assert (found[1].by_hour[23], sum(found[1].by_hour)) == (1, 1)


def test_the_acts_of_a_day_stand_in_the_order_in_which_they_were_done() -> None:
    late, early = moment("01-10T09:00", seq=1), moment("01-10T07:00", seq=2)

    assert of_day([late, early, moment("01-11T07:00")], "2030-01-10", "UTC") == (early, late)


def test_a_shift_ends_when_the_clock_of_the_workshop_says_so() -> None:
    found = shifts(
        [moment("01-10T12:59"), moment("01-10T13:00"), moment("01-10T21:30")],
        ("14:00", "22:00"),
        BERLIN,
    )

    assert [(one.until, len(one.moments)) for one in found] == [("14:00", 1), ("22:00", 1), ("", 1)]


def test_without_shifts_a_day_is_one() -> None:
    (one,) = shifts([moment("01-10T05:00"), moment("01-10T23:00")], (), "UTC")

    assert (one.until, len(one.moments)) == ("", 2)


@pytest.mark.parametrize(
    ("times", "expected"),
    [
        ([], (6, 18)),
        (["08:30"], (5, 9)),
        (["00:10"], (0, 4)),
        (["06:00", "17:59"], (6, 18)),
        (["23:50"], (20, 24)),
    ],
)
def test_the_clock_of_a_day_spans_all_of_it(times: list[str], expected: tuple[int, int]) -> None:
    assert hours_of([moment(f"01-10T{one}") for one in times], "UTC") == expected


def test_near_acts_of_a_person_are_one_mark_that_shows_what_must_not_be_overlooked() -> None:
    own = [
        moment("01-10T08:00"),
        moment("01-10T08:01", kind="hold"),
        moment("01-10T08:02"),
        moment("01-10T11:59"),
        moment("01-10T09:00", by="bo", kind="fit"),
    ]

    ada, bo = lanes(own, (8, 12), slots=24, zone="UTC")

    assert [(one.slot, one.sort, one.moments) for one in ada.marks] == [
        (0, Sort.HOLD, 3),
        (23, Sort.OFF, 1),
    ]
    assert (bo.by, [(one.slot, one.sort) for one in bo.marks]) == ("bo", [(6, Sort.BACK)])


def test_most_kinds_of_acts_have_a_sort_of_their_own() -> None:
    other = {kind.kind for kind in KINDS if sort_of(kind.kind) is Sort.OTHER}

    assert not other & {"remove", "fit", "secure", "hold", "hand-over", "send-away", "reverse"}
