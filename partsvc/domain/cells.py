"""What a cell of a table means: text, a number, a choice, yes or no, several names.

A cell that cannot be read is a fault in words; an empty cell is a member left out.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from enum import StrEnum

from partsvc.domain.records import Fault, Plain
from partsvc.domain.tabular import Row, Table


class Cell(StrEnum):
    """How a cell is read."""

    TEXT = "text"
    NAME = "name"
    CHOICE = "choice"
    WHOLE = "whole number"
    DECIMAL = "decimal number"
    FLAG = "yes or no"
    NAMES = "names"
    CHOICES = "choices"
    CONTENTS = "contents"


_FLAGS = {"yes": True, "true": True, "no": False, "false": False}
_WHOLE = re.compile(r"-?[0-9]{1,9}")
_DECIMAL = re.compile(r"-?[0-9]+(?:[.,][0-9]+)?")
_GROUPED = re.compile(r"-?[0-9]{1,3},[0-9]{3}")
_SO_MANY = re.compile(r"([0-9]{1,9})\s*[x×]\s+(.+)")
_BETWEEN_NAMES = re.compile(r"[\s,;]+")


class Unreadable(ValueError):
    """The cell cannot be read; the message says what it should be."""


def read_cell(cell: Cell, text: str, *, comma_is_decimal: bool) -> Plain:
    """The value of a cell that is not empty. Raises Unreadable.

    A decimal comma is taken where the comma does not also separate the cells; 1,250 is refused
    everywhere, for some read it as a thousand and more.
    """
    plain = text.strip()
    match cell:
        case Cell.TEXT:
            return text
        case Cell.NAME:
            return plain
        case Cell.CHOICE:
            return plain.casefold()
        case Cell.WHOLE:
            return _whole(plain)
        case Cell.DECIMAL:
            return _decimal(plain, comma_is_decimal=comma_is_decimal)
        case Cell.FLAG:
            return _flag(plain)
        case Cell.NAMES:
            return _names(plain)
        case Cell.CHOICES:
            return _names(plain.casefold())
        case Cell.CONTENTS:
            return _contents(plain)


def _names(text: str) -> list[Plain]:
    """Several names in one cell, with blanks, commas or semicolons between them."""
    return [name for name in _BETWEEN_NAMES.split(text) if name]


def _contents(text: str) -> list[Plain]:
    """What a kit holds, as `4 x KF-1302; KF-2010`; one of it where no number is said."""
    found: list[Plain] = []
    for one in filter(None, map(str.strip, text.split(";"))):
        counted = _SO_MANY.fullmatch(one)
        if counted:
            found.append({"part": counted[2], "quantity": int(counted[1])})
        else:
            found.append({"part": one})
    return found


def _whole(text: str) -> int:
    if not _WHOLE.fullmatch(text):
        raise Unreadable(f"“{text}” is not a whole number")
    return int(text)


def _decimal(text: str, *, comma_is_decimal: bool) -> str:
    if _GROUPED.fullmatch(text):
        raise Unreadable(
            f"“{text}” may be read in two ways; write it with a point, or with fewer decimals"
        )
    if not _DECIMAL.fullmatch(text) or ("," in text and not comma_is_decimal):
        raise Unreadable(f"“{text}” is not a number; write it like 24 or 24.5")
    return text.replace(",", ".")


def _flag(text: str) -> bool:
    if text.casefold() not in _FLAGS:
        raise Unreadable(f"“{text}” is neither yes nor no")
    return _FLAGS[text.casefold()]


def write_cell(value: Plain) -> str:
    """The cell of a value; nothing for a member left out."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list) and value and isinstance(value[0], dict):
        return "; ".join(map(_content, value))
    if isinstance(value, list):
        return " ".join(map(write_cell, value))
    return str(value)


def _content(value: Plain) -> str:
    assert isinstance(value, dict)
    return f"{value.get('quantity', 1)} x {value['part']}"


def read_cells(
    row: Row, cells: Mapping[str, Cell], table: Table, faults: list[Fault]
) -> dict[str, Plain]:
    """The values of those columns of a row that are filled; unreadable ones join the faults."""
    values: dict[str, Plain] = {}
    for column, text in row.cells.items():
        if column not in cells:
            continue
        try:
            comma = table.separator != ","
            values[column] = read_cell(cells[column], text, comma_is_decimal=comma)
        except Unreadable as odd:
            faults.append(row.fault(column, str(odd)))
    return values
