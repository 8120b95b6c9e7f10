"""Tables that a spreadsheet opens right: marked as UTF-8, and with nothing it would calculate."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Sequence
from io import StringIO

from partsvc.domain.tabular import FORMULA_SIGNS, is_number

Cell = str | int
_SIGNS = re.escape("".join(FORMULA_SIGNS))
# Tab and return are passed over first.
_BEGINS = re.compile(rf"[ ]*[{_SIGNS}\t\r\n]")
# Where a spreadsheet splits at semicolons, what follows one begins a cell of its own.
_BEGINS_AFTER = re.compile(rf"(;\s*)(?=[{_SIGNS}])")


def csv_table(columns: Sequence[str], rows: Iterable[Sequence[Cell]]) -> bytes:
    """Comma-separated values (RFC 4180) with a header row, in UTF-8 with a byte order mark."""
    text = StringIO()
    table = csv.writer(text, lineterminator="\r\n")
    table.writerow(columns)
    table.writerows([harmless(cell) for cell in row] for row in rows)
    return text.getvalue().encode("utf-8-sig")


def harmless(cell: Cell) -> Cell:
    """A text that a spreadsheet would take for a formula gets an apostrophe in front.

    So does what follows a semicolon. A plain number stays a number, also with a sign.
    """
    if not isinstance(cell, str) or is_number(cell):
        return cell
    guard = "'" if _BEGINS.match(cell) else ""
    return guard + _BEGINS_AFTER.sub(r"\1'", cell)
