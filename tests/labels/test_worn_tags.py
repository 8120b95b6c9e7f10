"""A small sample of the reading trial: what its table says must not get worse unseen."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

from reading_trial import GRADES, Rate, tried

from labels.stock import load, stock_keys

BY_NAME = {grade.name: grade for grade in GRADES}


def sample(grade: str, tags: int) -> list[Rate]:
    """So many tags of every stock after a grade."""
    return [tried(load(key), BY_NAME[grade], tags) for key in stock_keys()]


@pytest.mark.parametrize(("grade", "tags", "least"), [("fresh", 2, 1.0), ("used", 5, 0.99)])
def test_fresh_and_used_tags_are_read_on_every_stock(grade: str, tags: int, least: float) -> None:
    rates = sample(grade, tags)

    assert sum(rate.read for rate in rates) / sum(rate.tags for rate in rates) >= least
    assert sum(rate.misread for rate in rates) == 0


@pytest.mark.parametrize("grade", ["rough", "ruined"])
def test_a_tag_that_is_too_far_gone_is_not_read_as_another(grade: str) -> None:
    rates = sample(grade, 2)

    assert sum(rate.misread for rate in rates) == 0
    assert sum(rate.read for rate in rates) < sum(rate.tags for rate in rates)
