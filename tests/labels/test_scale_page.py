"""The page that shows whether a printer keeps the scale."""

from __future__ import annotations

import pytest
from tag_bench import page_count, path_bounds_mm, whole_text

from labels.scale_page import scale_page
from labels.stock import load, stock_keys

WORDS = "Print at 100 %. Hold a ruler against it."


@pytest.mark.parametrize("key", stock_keys())
def test_labels_and_ruler_stand_at_their_measures_to_a_tenth_of_a_millimetre(key: str) -> None:
    stock = load(key)

    pdf = scale_page(stock, WORDS)

    bounds = path_bounds_mm(pdf)
    sizes = [(right - left, foot - top) for left, top, right, foot in bounds]
    labels = [
        edges
        for edges, size in zip(bounds, sizes, strict=True)
        if size == pytest.approx((stock.label_width_mm, stock.label_height_mm), abs=0.4)
    ]
    assert page_count(pdf) == 1
    assert len(labels) == stock.labels_a_page
    for place, (left, top, right, foot) in enumerate(labels, start=1):
        x_mm, y_mm = stock.corner_mm(place)
        middle = (x_mm + stock.label_width_mm / 2, y_mm + stock.label_height_mm / 2)
        assert ((left + right) / 2, (top + foot) / 2) == pytest.approx(middle, abs=0.1)
    ticks = sorted(left for left, top, right, foot in bounds
                   if right - left < 0.5 and foot - top > 3.45 and 3 < top < 5)  # fmt: skip
    tens = [tick - ticks[0] for tick in ticks]
    assert tens == pytest.approx([10 * n for n in range(len(tens))], abs=0.1)
    assert len(tens) >= 5


def test_a_large_page_says_what_to_do() -> None:
    assert WORDS in whole_text(scale_page(load("a4-3x7"), WORDS))


def test_the_same_stock_gives_the_same_page() -> None:
    assert scale_page(load("a4-2x5"), WORDS) == scale_page(load("a4-2x5"), WORDS)
