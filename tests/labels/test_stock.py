"""Label material is described in plain files, and a wrong measure is named before it is printed."""

from __future__ import annotations

from importlib.resources import files

import pytest

from labels.stock import StockFault, list_stocks, load, parsed, stock_keys

A4_3X7 = files("labels").joinpath("stocks/a4-3x7.toml").read_text(encoding="utf-8")


def changed(field: str, value: str) -> str:
    lines = [
        f"{field} = {value}" if line.startswith(f"{field} ") else line
        for line in A4_3X7.splitlines()
    ]
    return "\n".join(lines)


def test_every_stock_that_comes_along_can_be_loaded() -> None:
    assert [stock.key for stock in list_stocks()] == list(stock_keys())
    assert {"a4-3x7", "a4-2x5", "letter-2x5", "single-70x50-203", "single-70x50-300"} <= set(
        stock_keys()
    )


@pytest.mark.parametrize("key", stock_keys())
def test_sheets_are_centred_on_their_page(key: str) -> None:
    stock = load(key)

    x_mm, y_mm = stock.corner_mm(stock.labels_a_page)

    right = stock.page_width_mm - x_mm - stock.label_width_mm
    foot = stock.page_height_mm - y_mm - stock.label_height_mm
    assert (right, foot) == pytest.approx((stock.margin_left_mm, stock.margin_top_mm), abs=0.011)


def test_labels_are_counted_along_the_rows() -> None:
    stock = load("a4-3x7")

    assert stock.labels_a_page == 21
    assert stock.corner_mm(3) == pytest.approx((7.25 + 2 * 66.0, 15.15))
    assert stock.corner_mm(4) == pytest.approx((7.25, 15.15 + 38.1))


@pytest.mark.parametrize("key", ["", "none", "../stock", "a4-3x7.toml", "A4-3X7", "a4-3x7\n"])
def test_an_unknown_stock_is_refused_and_the_known_are_named(key: str) -> None:
    with pytest.raises(StockFault, match="known are a4-2x4, a4-2x5, a4-3x7"):
        load(key)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("name", '" "'),
        ("page_width_mm", "190.0"),
        ("page_height_mm", "280.0"),
        ("page_height_mm", "nan"),
        ("columns", "0"),
        ("columns", "3.0"),
        ("rows", "true"),
        ("label_width_mm", '"wide"'),
        ("label_width_mm", "20.0"),
        ("label_height_mm", "10.0"),
        ("margin_left_mm", "-1.0"),
        ("gap_x_mm", "inf"),
        ("inset_mm", "30.0"),
        ("dpi", "72"),
    ],
)
def test_a_wrong_measure_is_named_by_its_field(field: str, value: str) -> None:
    with pytest.raises(StockFault, match=f"trial: {field} "):
        parsed("trial", changed(field, value))


def test_a_missing_and_an_unknown_field_are_named() -> None:
    with pytest.raises(StockFault, match="trial: dpi is missing"):
        parsed("trial", A4_3X7.replace("dpi = 300", ""))
    with pytest.raises(StockFault, match="trial: colour is not a field"):
        parsed("trial", A4_3X7 + 'colour = "blue"\n')


def test_a_file_that_is_no_toml_is_said_to_be_none() -> None:
    with pytest.raises(StockFault, match="trial: the file is not TOML"):
        parsed("trial", "name is nothing")
