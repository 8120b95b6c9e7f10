"""Tables that a spreadsheet opens right: marked as UTF-8, and with nothing it would calculate."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from io import StringIO

Cell = str | int
# What a spreadsheet takes for the beginning of a formula; tab and return are passed over first.
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")


def csv_table(columns: Sequence[str], rows: Iterable[Sequence[Cell]]) -> bytes:
    """Comma-separated values (RFC 4180) with a header row, in UTF-8 with a byte order mark."""
    text = StringIO()
    table = csv.writer(text, lineterminator="\r\n")
    table.writerow(columns)
    table.writerows([harmless(cell) for cell in row] for row in rows)
    return text.getvalue().encode("utf-8-sig")


def harmless(cell: Cell) -> Cell:
    """A text that a spreadsheet would take for a formula gets an apostrophe in front."""
    if isinstance(cell, str) and cell.lstrip(" ").startswith(_FORMULA):
        return f"'{cell}"
    return cell
