"""Tables as spreadsheets save them: bytes to rows, every fault named by row and column, and back.

Rows are counted as a spreadsheet counts them: the header is row 1, a cell with a line break in it
stays in one row, empty rows count and are passed over. A byte order mark is tolerated; the
separator (comma, semicolon or tab) is the one under which the header names the most known columns.

Written cells are guarded: a text that a spreadsheet would run as a formula, or that begins with an
apostrophe, gets an apostrophe in front; reading takes exactly that one away again, so that every
text comes back as it was. A plain number is no formula, with a sign before it neither: it stays
one that a spreadsheet adds up.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from partsvc.domain.records import Fault, Faulty
from partsvc.domain.text_file import decoded, refuse, whole_file

MOST_ROWS = 20_000
MOST_IN_A_CELL = 4_000

_SEPARATORS = (",", ";", "\t")
_SEPARATOR_WORDS = {",": "comma", ";": "semicolon", "\t": "tab"}
FORMULA_SIGNS = ("=", "+", "-", "@", "＝", "＋", "－", "＠")
"""What spreadsheets take for the beginning of a formula, also in full width."""

_GUARD = "'"
# Tab and return are passed over before a formula is seen; our own guard must come back, too.
_GUARDED = (*FORMULA_SIGNS, "\t", "\r", "\n", _GUARD)
_NUMBER = re.compile(r"[+-]?[0-9]+(?:[.,][0-9]+)?")


@dataclass(frozen=True, slots=True)
class Row:
    """A row with its number, and its cells by column; empty cells are left out."""

    number: int
    cells: Mapping[str, str]

    def fault(self, column: str, says: str) -> Fault:
        """What is wrong with a cell of this row, or with the row when no column is named."""
        return Fault(place(self.number, column), says)


@dataclass(frozen=True, slots=True)
class Table:
    """The rows that are not empty, and what stood between their cells."""

    rows: tuple[Row, ...]
    separator: str


def place(row: int, column: str = "") -> str:
    """A place in a table as people name it."""
    return f"row {row}, column {column}" if column else f"row {row}"


def read_table(data: bytes, columns: Sequence[str], *, needed: Iterable[str] = ()) -> Table:
    """The rows of a file with a header, whose columns are among `columns`.

    Columns may stand in any order, and those that are not `needed` may be left out. At most
    MOST_ROWS rows under the header and MOST_IN_A_CELL characters in a cell.
    Raises `Faulty` with every fault that can be told at that stage: file, header, rows.
    """
    text = decoded(data)
    separator = _sniffed(text, columns)
    header_row, *others = _records(text, separator)
    header = _named(header_row)
    refuse(_header_faults(header, columns, tuple(needed), separator))
    rows = [(n, cells) for n, cells in enumerate(others, start=2) if any(map(str.strip, cells))]
    if not rows:
        raise Faulty((Fault("row 2", "there is no row under the header"),))
    refuse(fault for n, cells in rows for fault in _row_faults(n, cells, header))
    return Table(tuple(Row(n, _cells(header, cells)) for n, cells in rows), separator)


def write_table(columns: Sequence[str], rows: Iterable[Mapping[str, str]]) -> bytes:
    """A table in UTF-8 with a byte order mark, so that spreadsheets read its letters rightly."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(columns)
    writer.writerows([guarded(row.get(name, "")) for name in columns] for row in rows)
    return out.getvalue().encode("utf-8-sig")


def guarded(text: str) -> str:
    """The text as it may stand in a cell: nothing that a spreadsheet would run."""
    return _GUARD + text if text.startswith(_GUARDED) and not is_number(text) else text


def is_number(text: str) -> bool:
    """Whether a spreadsheet reads the text as a plain number, which it may calculate with."""
    return _NUMBER.fullmatch(text) is not None


def unguarded(cell: str) -> str:
    """The text of a cell, without the guard that `guarded` put before it."""
    guard = cell.startswith(_GUARD) and cell[1:].startswith(_GUARDED)
    return cell[1:] if guard else cell


def _sniffed(text: str, columns: Sequence[str]) -> str:
    """The separator under which the header names the most known columns."""
    line = next(iter(text.lstrip("\r\n").splitlines()), "")

    def known(separator: str) -> int:
        names = (cell.strip().strip('"').strip().casefold() for cell in line.split(separator))
        return sum(name in columns for name in names)

    return max(_SEPARATORS, key=known)


def _records(text: str, separator: str) -> list[list[str]]:
    records: list[list[str]] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    try:
        for record in reader:
            records.append(record)
            if len(records) > MOST_ROWS + 1:
                raise whole_file(f"has more than {MOST_ROWS} rows under the header, so split it")
    except csv.Error as odd:
        raise Faulty((Fault(place(len(records) + 1), _broken(odd)),)) from odd
    return records


def _named(header_row: Sequence[str]) -> list[str]:
    """The columns' names; empty cells at the end are what a spreadsheet leaves behind."""
    header = [unguarded(cell).strip().casefold() for cell in header_row]
    while header and not header[-1]:
        header.pop()
    return header


def _broken(odd: csv.Error) -> str:
    if "field larger" in str(odd):
        return f"a cell has far more than {MOST_IN_A_CELL} characters; is a quotation mark missing?"
    return 'the quotation marks are not in pairs; a quotation mark inside a cell is written ""'


def _header_faults(
    header: Sequence[str], columns: Sequence[str], needed: Sequence[str], separator: str
) -> Iterator[Fault]:
    if not set(header) & set(columns):
        yield Fault(place(1), f"is no header; it names the columns, at least {', '.join(needed)}")
        return
    for n, name in enumerate(header, start=1):
        if not name:
            yield Fault(f"row 1, cell {n}", "a column has no name")
        elif name not in columns:
            yield Fault(place(1, name), "is not a column of this file")
        elif name in header[: n - 1]:
            yield Fault(place(1, name), "the column stands twice")
    for name in needed:
        if name not in header:
            yield Fault("row 1", f"the column {name} is missing")
    if not set(header) <= set(columns):
        between = _SEPARATOR_WORDS[separator]
        yield Fault("row 1", f"read with {between} between cells; columns: {', '.join(columns)}")


def _row_faults(number: int, cells: Sequence[str], header: Sequence[str]) -> Iterator[Fault]:
    if len(cells) < len(header) or any(map(str.strip, cells[len(header) :])):
        yield Fault(
            place(number),
            f"has {len(cells)} cells, the header has {len(header)}; put quotation marks round a "
            "text that contains the separator",
        )
        return
    for name, cell in zip(header, cells, strict=False):
        if len(cell) > MOST_IN_A_CELL:
            says = f"has {len(cell)} characters; at most {MOST_IN_A_CELL} are taken"
            yield Fault(place(number, name), says)


def _cells(header: Sequence[str], cells: Sequence[str]) -> dict[str, str]:
    pairs = zip(header, cells, strict=False)
    return {name: unguarded(cell) for name, cell in pairs if cell.strip()}
