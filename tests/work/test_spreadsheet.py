"""Tables come back from the standard reader as they went in, and no cell is a formula."""

from __future__ import annotations

import csv
from io import StringIO

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsvc.domain.tabular import is_number
from partsvc.work.papers.spreadsheet import csv_table

# A lone carriage return is no line of its own in any cell we write; text is on one line or wrapped.
TEXTS = st.text(st.characters(codec="utf-8", exclude_characters="\r\x00;"), max_size=30)
LEADS = st.sampled_from(["", "=", "+", "-", "@", "\t", " =", "'"])
CELLS = st.one_of(st.integers(-999, 9999), st.builds(str.__add__, LEADS, TEXTS))
TABLES = st.lists(st.tuples(CELLS, CELLS, CELLS), max_size=8)


def read(table: bytes) -> list[list[str]]:
    """As a spreadsheet that knows the byte order mark reads it."""
    assert table.startswith(b"\xef\xbb\xbf")
    return list(csv.reader(StringIO(table.decode("utf-8-sig"), newline="")))


@given(TABLES)
def test_every_cell_comes_back_but_for_the_apostrophe(rows: list[tuple[str | int, ...]]) -> None:
    header, *found = read(csv_table(("a", "b", "c"), rows))

    assert header == ["a", "b", "c"]
    assert [[cell.removeprefix("'") for cell in row] for row in found] == [
        [str(cell).removeprefix("'") for cell in row] for row in rows
    ]


@given(TABLES)
def test_no_text_begins_as_a_formula(rows: list[tuple[str | int, ...]]) -> None:
    _, *found = read(csv_table(("a", "b", "c"), rows))

    for row, cells in zip(found, rows, strict=True):
        for text, cell in zip(row, cells, strict=True):
            if isinstance(cell, str) and not is_number(cell):
                assert not text.lstrip(" ").startswith(("=", "+", "-", "@", "\t", "\n"))


@pytest.mark.parametrize("number", ["-5", "+12", "-0.75", "3,5", "0"])
def test_a_plain_number_stays_one_with_its_sign(number: str) -> None:
    assert read(csv_table(("a",), [(number,)])) == [["a"], [number]]


@pytest.mark.parametrize("text", ["-5+2", "-1e5|x", "=1", "+cmd", "＝1", "\t=1", "  @x", "-"])
def test_whatever_else_begins_like_a_formula_is_text(text: str) -> None:
    assert read(csv_table(("a",), [(text,)])) == [["a"], ["'" + text]]


@pytest.mark.parametrize("text", ["two;=1+1", "two; -x", "a;b;@c"])
def test_no_formula_begins_where_somebody_splits_at_semicolons(text: str) -> None:
    table = csv_table(("a", "b"), [("x", text)]).decode("utf-8-sig")

    for line in table.splitlines():
        for cell in line.split(";"):
            assert not cell.lstrip(' "').startswith(("=", "+", "-", "@"))
