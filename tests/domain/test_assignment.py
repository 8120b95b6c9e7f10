"""Leftovers are matched with shortages as a whole, and never beyond the limit."""

from fractions import Fraction
from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment

from partsvc.domain.assignment import match

NO_LIMIT = 10**6


def total(costs, pairs):
    return sum(costs[row][column] for row, column in pairs)


# Worked examples, computed with scipy 1.17.1 (linear_sum_assignment).
@pytest.mark.parametrize(
    ("costs", "columns", "cost"),
    [
        ([[4, 1, 3], [2, 0, 5], [3, 2, 2]], (1, 0, 2), 5),
        ([[1, 2], [2, 100]], (1, 0), 4),
        (
            [
                [Fraction("0.2"), 6, 9, 50],
                [7, Fraction("0.5"), 3, 50],
                [8, 4, 1, 50],
            ],
            (0, 1, 2),
            Fraction("1.7"),
        ),
        ([[15, 1, 0], [0, 14, 15], [17, 13, 14]], (2, 0, 1), 13),
    ],
)
def test_the_cheapest_matching_of_the_worked_examples(costs, columns, cost):
    pairs = match(costs, limit=NO_LIMIT)

    assert pairs == tuple(enumerate(columns))
    assert total(costs, pairs) == cost


def test_a_leftover_that_fits_nothing_stays_unmatched():
    # M8x30/13, M6x20/10, M10x25/16 against shortages M6x20/10, M8x25/13, M8x30/13.
    costs = [[15, 1, 0], [0, 14, 15], [17, 13, 14]]

    assert match(costs, limit=9) == ((0, 2), (1, 0))


def test_a_pair_at_the_limit_is_made_and_one_above_is_not():
    assert match([[9]], limit=9) == ((0, 0),)
    assert match([[9]], limit=Fraction(899, 100)) == ()


def test_leaving_two_unmatched_can_be_cheaper_than_a_dear_pair():
    # The two rows want the same column; the other one is beyond the limit for both.
    assert match([[1, 50], [2, 50]], limit=10) == ((0, 0),)


def test_among_equal_sums_more_pairs_are_made():
    # 0 + 10 for two pairs, or 0 and one unmatched row at 10: the same sum.
    assert len(match([[0, 0], [10, 10]], limit=10)) == 2


def test_nothing_to_match_gives_no_pairs():
    assert match([], limit=5) == ()
    assert match([[], []], limit=5) == ()


def test_an_impossible_pair_may_cost_infinitely_much():
    assert match([[float("inf"), 1.5]], limit=5) == ((0, 1),)
    assert match([[float("inf")]], limit=5) == ()


@pytest.mark.parametrize(
    ("costs", "limit", "words"),
    [
        ([[1, 2], [3]], 5, "same length"),
        ([[float("nan")]], 5, "must be a number"),
        ([[float("-inf")]], 5, "must be a number"),
        ([[1]], float("inf"), "finite"),
        ([[1]], float("nan"), "finite"),
    ],
)
def test_costs_that_mean_nothing_are_refused(costs, limit, words):
    with pytest.raises(ValueError, match=words):
        match(costs, limit=limit)


def matrices(cost, most):
    sizes = st.tuples(st.integers(1, most), st.integers(1, most))
    return sizes.flatmap(
        lambda size: st.lists(
            st.lists(cost, min_size=size[1], max_size=size[1]), min_size=size[0], max_size=size[0]
        )
    )


@given(matrices(st.integers(-50, 50), 9))
def test_without_a_limit_the_sum_is_that_of_scipy(costs):
    pairs = match(costs, limit=NO_LIMIT)
    rows, columns = linear_sum_assignment(np.array(costs))

    assert len(pairs) == min(len(costs), len(costs[0]))
    assert total(costs, pairs) == total(costs, zip(rows, columns, strict=True))


@given(matrices(st.floats(0, 20), 7), st.floats(0, 20))
def test_with_a_limit_the_sum_is_that_of_scipy_with_unmatched_columns(costs, limit):
    widened = np.hstack([np.array(costs), np.full((len(costs), len(costs)), limit)])
    rows, columns = linear_sum_assignment(widened)

    pairs = match(costs, limit=limit)

    unmatched = len(costs) - len(pairs)
    assert total(costs, pairs) + unmatched * limit == pytest.approx(widened[rows, columns].sum())
    assert all(costs[row][column] <= limit for row, column in pairs)


@given(matrices(st.integers(0, 6), 4), st.integers(0, 6))
def test_no_other_matching_is_cheaper_or_equal_with_more_pairs(costs, limit):
    height, width = len(costs), len(costs[0])
    every = [
        [(row, column) for row, column in enumerate(columns) if column < width]
        for columns in permutations(range(width + height), height)
    ]

    def merit(pairs):
        return (total(costs, pairs) + limit * (height - len(pairs)), -len(pairs))

    assert merit(match(costs, limit=limit)) == min(map(merit, every))


@given(matrices(st.fractions(0, 9, max_denominator=12), 6), st.integers(0, 9))
def test_rows_and_columns_may_change_places(costs, limit):
    turned = [list(column) for column in zip(*costs, strict=True)]

    def merit(matrix):
        pairs = match(matrix, limit=limit)
        return len(pairs), total(matrix, pairs)

    assert merit(costs) == merit(turned)


def test_a_whole_vehicle_of_leftovers_is_matched():
    costs = [[(row * 37 + column * 61) % 101 for column in range(60)] for row in range(80)]
    rows, columns = linear_sum_assignment(np.array(costs))

    pairs = match(costs, limit=NO_LIMIT)

    assert total(costs, pairs) == total(costs, zip(rows, columns, strict=True))
