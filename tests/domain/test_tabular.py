"""Tables come as spreadsheets save them, and go out so that nothing in them is run."""

from __future__ import annotations

import csv
import io
from unicodedata import normalize

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsvc.domain.records import Faulty
from partsvc.domain.tabular import (
    MOST_IN_A_CELL,
    MOST_ROWS,
    guarded,
    read_table,
    unguarded,
    write_table,
)
from partsvc.domain.text_file import MOST_BYTES

COLUMNS = ("part", "quantity", "note")


def rows(data: bytes | str) -> list[tuple[int, dict[str, str]]]:
    given = data.encode() if isinstance(data, str) else data
    return [(row.number, dict(row.cells)) for row in read_table(given, COLUMNS).rows]


def told(data: bytes | str) -> list[str]:
    with pytest.raises(Faulty) as caught:
        read_table(data.encode() if isinstance(data, str) else data, COLUMNS, needed=("part",))
    return [str(fault) for fault in caught.value.faults]


# Reading


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_what_spreadsheets_save_is_read(separator: str, mark: str, end: str) -> None:
    lines = [separator.join(cells) for cells in (("part", "quantity"), ("KF-1", "4"))]

    assert rows(mark + end.join(lines) + end) == [(2, {"part": "KF-1", "quantity": "4"})]


def test_columns_stand_in_any_order_and_case_and_may_be_left_out() -> None:
    assert rows("Quantity, PART \n4,KF-1\n") == [(2, {"quantity": "4", "part": "KF-1"})]


def test_rows_are_counted_as_the_spreadsheet_counts_them() -> None:
    text = 'part,note\nA,"two\nlines"\n\nB,\n,\n C,x\n'

    assert rows(text) == [
        (2, {"part": "A", "note": "two\nlines"}),
        (4, {"part": "B"}),
        (6, {"part": " C", "note": "x"}),
    ]


def test_a_comma_in_a_semicolon_file_is_part_of_the_text() -> None:
    assert rows("part;note\nA;clip, white, long\n") == [
        (2, {"part": "A", "note": "clip, white, long"})
    ]


def test_empty_columns_left_behind_at_the_right_do_no_harm() -> None:
    assert rows("part,quantity,,\nA,4,,\nB,2,,\n") == [
        (2, {"part": "A", "quantity": "4"}),
        (3, {"part": "B", "quantity": "2"}),
    ]


def test_texts_come_in_one_spelling() -> None:
    assert rows("part\nMu\u0308ller\n") == [(2, {"part": "M\u00fcller"})]


# Faults


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "the file: is empty"),
        (b"\xef\xbb\xbf\n", "the file: is empty"),
        ("part\nA\n".encode("utf-16"), "the file: is UTF-16; save it as UTF-8"),
        (b"part\nA\nSchl\xfcssel\n", "line 3: is not UTF-8; save the file as UTF-8"),
        ("part\nA\0\n", "line 2: contains the character U+0000, which is no text"),
        ("part\n\n", "row 2: there is no row under the header"),
        ("A,4\nB,2\n", "row 1: is no header; it names the columns, at least part"),
        ("\npart\nA\n", "row 1: is no header; it names the columns, at least part"),
        ("quantity\n4\n", "row 1: the column part is missing"),
        ("part,part\nA,B\n", "row 1, column part: the column stands twice"),
        (
            'part,note\nA,"so"so\n',
            'row 2: the quotation marks are not in pairs; a quotation mark inside a cell is written'
            ' ""',
        ),
        (
            'part,note\nA,"never closed\n',
            'row 2: the quotation marks are not in pairs; a quotation mark inside a cell is written'
            ' ""',
        ),
    ],
)  # fmt: skip
def test_a_file_that_cannot_be_read_says_why(data: bytes | str, says: str) -> None:
    assert told(data) == [says]


def test_a_column_without_a_name_is_told_by_its_place() -> None:
    assert told("part,,note\nA,,x\n")[0] == "row 1, cell 2: a column has no name"


def test_every_unknown_column_is_named_and_the_known_ones_once() -> None:
    assert told("part;colour;size\nA;red;4\n") == [
        "row 1, column colour: is not a column of this file",
        "row 1, column size: is not a column of this file",
        "row 1: read with semicolon between cells; columns: part, quantity, note",
    ]


def test_every_ragged_row_is_named() -> None:
    says = "the header has 2; put quotation marks round a text that contains the separator"

    assert told("part,note\nA\nB,x\nC,x,y\n") == [
        f"row 2: has 1 cells, {says}",
        f"row 4: has 3 cells, {says}",
    ]


def test_what_is_too_large_is_refused_with_the_maximum() -> None:
    long_cell = "x" * (MOST_IN_A_CELL + 1)

    assert told(b"part\n" + b"A" * MOST_BYTES) == [
        f"the file: has {MOST_BYTES + 5} bytes; at most {MOST_BYTES} are taken, so split it"
    ]
    assert told("part\n" + "A\n" * (MOST_ROWS + 1)) == [
        f"the file: has more than {MOST_ROWS} rows under the header, so split it"
    ]
    assert told(f"part,note\nA,{long_cell}\n") == [
        f"row 2, column note: has {MOST_IN_A_CELL + 1} characters; at most {MOST_IN_A_CELL} are "
        "taken"
    ]
    assert told(f'part\n"{long_cell * 40}') == [
        f"row 2: a cell has far more than {MOST_IN_A_CELL} characters; is a quotation mark missing?"
    ]


# Writing


@pytest.mark.parametrize(
    "formula",
    ["=1+1", "+1+1", "-1+1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "＝1", "＋1", "－1", "＠1"],
)
def test_nothing_that_is_written_is_run_by_a_spreadsheet(formula: str) -> None:
    # What starts a formula: the list in OWASP's page "CSV Injection".
    assert guarded(formula) == "'" + formula


def test_a_plain_text_is_written_as_it_is() -> None:
    assert guarded("Bolt M8x25 'flange'") == "Bolt M8x25 'flange'"
    assert unguarded("'tis plain") == "'tis plain"


@given(st.text())
def test_a_guarded_text_comes_back_as_it_was(text: str) -> None:
    assert unguarded(guarded(text)) == text


CELL = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0")).filter(
    lambda text: text.strip()
)


@given(st.lists(st.fixed_dictionaries({"part": CELL}, optional={"note": CELL}), min_size=1))
def test_a_written_table_is_read_back(table: list[dict[str, str]]) -> None:
    given_rows = [{name: normalize("NFC", text) for name, text in row.items()} for row in table]

    assert [cells for _, cells in rows(write_table(COLUMNS, given_rows))] == given_rows


def test_other_programs_read_what_is_written() -> None:
    data = write_table(COLUMNS, [{"part": "A", "note": 'says "so",\nand more'}])

    assert list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline=""))) == [
        ["part", "quantity", "note"],
        ["A", "", 'says "so",\nand more'],
    ]


@pytest.mark.parametrize("number", ["-5", "+12", "-0.75", "-3,5"])
def test_a_plain_number_is_no_formula_and_stays_one(number: str) -> None:
    assert guarded(number) == number
    assert unguarded(number) == number
    assert unguarded("'" + number) == number
