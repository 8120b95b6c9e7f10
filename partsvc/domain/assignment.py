"""Which leftover most likely belongs to which shortage, all taken together.

The cheapest pairing of rows with columns. Whoever takes the best pair first can be left with an
absurd one at the end; and what matches nothing within the limit must stay unmatched, since an
invented explanation is worse than none.
"""

from collections.abc import Sequence
from fractions import Fraction
from itertools import chain
from math import inf, isnan, lcm
from typing import Final, TypeAlias

Cost: TypeAlias = Fraction | int | float

_NOT_YET: Final = -1


def match(costs: Sequence[Sequence[Cost]], *, limit: Cost) -> tuple[tuple[int, int], ...]:
    """The pairs (row, column) of the cheapest matching, by row; what is left out is unmatched.

    Leaving a row unmatched costs `limit`, so that no pair dearer than the limit is ever made and
    a pair at the limit is. Among equally cheap matchings one with most pairs, always the same.
    ValueError when rows differ in length, a cost is no number or the limit is not finite.
    """
    _sound(costs)
    columns = len(costs[0]) if costs else 0
    found = _cheapest(_with_unmatched(costs, limit))
    return tuple((row, column) for row, column in enumerate(found) if column < columns)


def _sound(costs: Sequence[Sequence[Cost]]) -> None:
    if len({len(row) for row in costs}) > 1:
        raise ValueError("every row of costs has the same length")
    if any(isnan(cost) or cost == -inf for cost in chain.from_iterable(costs)):
        raise ValueError("a cost must be a number")


def _with_unmatched(costs: Sequence[Sequence[Cost]], limit: Cost) -> list[list[int]]:
    """The costs as whole numbers, with one more column a row that stands for "unmatched".

    Whole numbers keep the comparison exact. They are stretched so far that one unit, the
    surcharge on "unmatched", decides between equal sums and never against a cheaper one.
    """
    try:
        top = Fraction(limit)
    except (OverflowError, ValueError) as error:
        raise ValueError("the limit must be finite") from error
    # What lies above the limit is never taken; how far above makes no difference.
    capped = [[Fraction(cost) if cost <= top else None for cost in row] for row in costs]
    known = [cost for row in capped for cost in row if cost is not None]
    stretch = lcm(top.denominator, *(cost.denominator for cost in known)) * (len(costs) + 1)
    unmatched = int(top * stretch) + 1
    never = unmatched + 1
    return [
        [never if cost is None else int(cost * stretch) for cost in row] + [unmatched] * len(costs)
        for row in capped
    ]


def _cheapest(costs: list[list[int]]) -> list[int]:
    """For each row its column; there are at least as many columns as rows.

    The Hungarian method with potentials: one row after the other is added, along the cheapest
    chain of exchanges. O(rows² · columns).
    """
    width = len(costs[0]) if costs else 0
    row_of: list[int] = [_NOT_YET] * width
    row_price, column_price = [0] * len(costs), [0] * width
    for row in range(len(costs)):
        _add_row(row, costs, row_of, row_price, column_price)
    column_of = {row: column for column, row in enumerate(row_of)}
    return [column_of[row] for row in range(len(costs))]


def _add_row(
    new_row: int,
    costs: list[list[int]],
    row_of: list[int],
    row_price: list[int],
    column_price: list[int],
) -> None:
    """Gives one more row its column, moving earlier rows where that is cheaper."""
    width = len(row_of)
    reached_from = [_NOT_YET] * width
    distance: list[int | None] = [None] * width
    visited: list[int] = []
    open_columns = list(range(width))
    row, column, so_far = new_row, _NOT_YET, 0
    while row != _NOT_YET:
        for other in open_columns:
            offer = so_far + costs[row][other] - row_price[row] - column_price[other]
            best = distance[other]
            if best is None or offer < best:
                distance[other], reached_from[other] = offer, column
        so_far, column = min((d, c) for c in open_columns if (d := distance[c]) is not None)
        open_columns.remove(column)
        visited.append(column)
        row = row_of[column]
    row_price[new_row] += so_far
    for passed in visited[:-1]:
        saved = so_far - (distance[passed] or 0)
        row_price[row_of[passed]] += saved
        column_price[passed] -= saved
    _exchange(new_row, column, row_of, reached_from)


def _exchange(new_row: int, last: int, row_of: list[int], reached_from: list[int]) -> None:
    """Along the chain every row takes the next column; the new row takes the first."""
    column = last
    while (before := reached_from[column]) != _NOT_YET:
        row_of[column] = row_of[before]
        column = before
    row_of[column] = new_row
