"""Across on a circle, outwards in rows, and the other way round for loosening."""

from itertools import pairwise

import pytest
from published_values import rows

from partsvc.domain.tightening_order import cross_pattern, loosening_order, row_pattern

TABLE = rows("star_patterns")


@pytest.mark.parametrize("bolts", sorted({int(row["bolts"]) for row in TABLE}))
def test_the_order_is_that_of_the_table(bolts):
    # ASME PCC-1 legacy pattern: all from memory, only the order for 12 was seen in a page.
    table = tuple(int(r["bolt_number_clockwise"]) for r in TABLE if int(r["bolts"]) == bolts)

    assert cross_pattern(bolts) == table


@pytest.mark.parametrize("bolts", range(1, 65))
def test_every_bolt_is_tightened_once(bolts):
    assert sorted(cross_pattern(bolts)) == list(range(1, bolts + 1))


@pytest.mark.parametrize("bolts", range(2, 65, 2))
def test_each_bolt_is_followed_by_the_one_opposite(bolts):
    order = cross_pattern(bolts)

    assert {b - a for a, b in zip(order[::2], order[1::2], strict=True)} == {bolts // 2}


@pytest.mark.parametrize("bolts", range(4, 65, 4))
def test_each_four_make_a_cross(bolts):
    order, quarter = cross_pattern(bolts), bolts // 4

    for first in range(0, bolts, 4):
        i = order[first]
        assert order[first : first + 4] == (i, i + 2 * quarter, i + quarter, i + 3 * quarter)


@pytest.mark.parametrize("bolts", range(5, 65, 2))
def test_an_odd_number_goes_on_by_nearly_half_a_turn(bolts):
    order = cross_pattern(bolts)
    steps = {(b - a) % bolts for a, b in pairwise(order)}

    assert steps == {bolts // 2}


def test_five_wheel_bolts_make_the_star_everyone_knows():
    assert cross_pattern(5) == (1, 3, 5, 2, 4)


GRIDS = [(1, 1), (1, 2), (2, 2), (1, 9), (2, 10), (3, 4), (3, 5), (4, 8), (5, 5)]


def reach(place, size):
    return sum((2 * at - count - 1) ** 2 for at, count in zip(place, size, strict=True))


@pytest.mark.parametrize("size", GRIDS, ids=str)
def test_rows_go_from_the_centre_outwards_to_the_corners(size):
    order = row_pattern(*size)
    corners = {(row, column) for row in (1, size[0]) for column in (1, size[1])}

    assert len(set(order)) == len(order) == size[0] * size[1]
    assert [reach(p, size) for p in order] == sorted(reach(p, size) for p in order)
    assert set(order[-len(corners) :]) == corners


@pytest.mark.parametrize("size", GRIDS, ids=str)
def test_sides_alternate(size):
    order = [place for place in row_pattern(*size) if reach(place, size)]
    opposite = [(size[0] + 1 - row, size[1] + 1 - column) for row, column in order]

    assert order[1::2] == opposite[::2]


def test_a_sump_of_two_rows():
    assert row_pattern(2, 3) == ((1, 2), (2, 2), (1, 1), (2, 3), (1, 3), (2, 1))


def test_loosening_begins_at_the_corners():
    assert loosening_order(row_pattern(2, 3))[:2] == ((2, 1), (1, 3))
    assert loosening_order(cross_pattern(4)) == (4, 2, 3, 1)


def test_there_is_no_order_without_bolts():
    with pytest.raises(ValueError, match="at least one bolt"):
        cross_pattern(0)
    with pytest.raises(ValueError, match="at least one row"):
        row_pattern(0, 3)
