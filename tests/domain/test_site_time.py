"""The workshop's own time: ends of shifts over changes of the clock, days, minutes left."""

from __future__ import annotations

import pytest

from partsvc.domain.site_time import (
    later,
    local_day,
    local_words,
    minutes_until,
    shift_end_after,
)

BERLIN = "Europe/Berlin"


@pytest.mark.parametrize(
    ("at", "end"),
    [
        ("2030-05-14T06:10:00.000Z", "2030-05-14T12:00:00.000Z"),  # 08:10, until 14:00
        ("2030-05-14T12:00:00.000Z", "2030-05-14T20:00:00.000Z"),  # 14:00 itself: the next one
        ("2030-05-14T21:00:00.000Z", "2030-05-15T12:00:00.000Z"),  # 23:00, until tomorrow 14:00
        ("2030-01-14T12:59:59.999Z", "2030-01-14T13:00:00.000Z"),  # in winter 14:00 is 13:00 UTC
    ],
)
def test_a_shift_ends_by_the_workshops_clock(at: str, end: str) -> None:
    assert shift_end_after(at, ("14:00", "22:00"), BERLIN) == end


def test_where_no_shift_ends_nothing_ends() -> None:
    assert shift_end_after("2030-05-14T06:10:00.000Z", (), BERLIN) == ""


# Clocks in the zone of Berlin go forward at 01:00 UTC on the last Sunday of March and back at
# 01:00 UTC on the last Sunday of October: directive 2000/84/EC, article 2 and 3.
def test_a_shift_may_end_twice_in_the_night_the_clock_is_put_back() -> None:
    before, between = "2030-10-27T00:10:00.000Z", "2030-10-27T00:40:00.000Z"

    assert shift_end_after(before, ("02:30",), BERLIN) == "2030-10-27T00:30:00.000Z"
    assert shift_end_after(between, ("02:30",), BERLIN) == "2030-10-27T01:30:00.000Z"


def test_a_shift_ends_though_its_hour_is_left_out() -> None:
    evening = "2030-03-30T22:00:00.000Z"

    # 02:30 is not on the clock that night: it is over when the clock shows 03:00 at the earliest.
    end = shift_end_after(evening, ("02:30",), BERLIN)

    assert "2030-03-31T00:30:00.000Z" <= end <= "2030-03-31T01:30:00.000Z"


def test_a_day_begins_at_the_workshops_midnight() -> None:
    assert local_day("2030-05-14T22:30:00.000Z", BERLIN) == "2030-05-15"
    assert local_day("2030-05-14T22:30:00.000Z", "UTC") == "2030-05-14"
    assert local_words("2030-05-14T22:30:00.000Z", BERLIN) == "00:30 on 2030-05-15"


def test_minutes_left_are_counted_whole_and_never_less_than_none() -> None:
    assert minutes_until("2030-05-14T08:04:00.000Z", "2030-05-14T08:10:00.000Z") == 6
    assert minutes_until("2030-05-14T08:09:59.999Z", "2030-05-14T08:10:00.000Z") == 1
    assert minutes_until("2030-05-14T08:10:00.000Z", "2030-05-14T08:10:00.000Z") == 0
    assert minutes_until("2030-05-14T09:00:00.000Z", "2030-05-14T08:10:00.000Z") == 0
    assert later("2030-05-14T23:50:00.000Z", hours=1, minutes=10) == "2030-05-15T01:00:00.000Z"
