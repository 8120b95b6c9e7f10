"""Tables come back from the standard reader as they went in, and no cell is a formula."""

from __future__ import annotations

import csv
from io import StringIO

from hypothesis import given
from hypothesis import strategies as st

from partsvc.work.papers.spreadsheet import csv_table

# A lone carriage return is no line of its own in any cell we write; text is on one line or wrapped.
TEXTS = st.text(st.characters(codec="utf-8", exclude_characters="\r\x00"), max_size=30)
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
            if isinstance(cell, str):
                assert not text.lstrip(" ").startswith(("=", "+", "-", "@", "\t", "\n"))
