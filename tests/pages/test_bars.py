"""A bar cut by shares: it is filled exactly, and what is there at all is seen."""

from __future__ import annotations

from itertools import pairwise

import pytest

from partsvc.pages.drawing import stretches


@pytest.mark.parametrize(
    ("shares", "expected"),
    [
        ([], []),
        ([0, 0], [(0, 0), (0, 0)]),
        ([1, 1], [(0, 50), (50, 50)]),
        ([1, 0, 299], [(0, 10), (10, 0), (10, 90)]),
        ([1, 1, 1], [(0, 34), (34, 33), (67, 33)]),
    ],
)
def test_the_stretches(shares: list[int], expected: list[tuple[int, int]]) -> None:
    assert stretches(shares, width=100, least=10) == expected


@pytest.mark.parametrize("shares", [[1] * 5, [300, 1, 1, 1, 1], [0, 7, 0, 0, 991], [3, 5, 7]])
def test_a_bar_is_filled_and_nothing_overlaps(shares: list[int]) -> None:
    found = stretches(shares, width=1000, least=14)

    assert sum(width for _, width in found) == 1000
    assert all(width >= 14 for (_, width), share in zip(found, shares, strict=True) if share)
    assert all(start + width == following for (start, width), (following, _) in pairwise(found))
