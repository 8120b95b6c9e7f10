"""The catalogue as a file: a table whose columns are the fields of a part, or JSON."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.cells import Cell, read_cells, write_cell
from partsvc.domain.part_faults import placed_faults
from partsvc.domain.parts import Part
from partsvc.domain.records import AtMost, Fault, Faulty, Plain, decode, encode
from partsvc.domain.row_places import RowPlaces, in_row_order
from partsvc.domain.tabular import MOST_ROWS, read_table, write_table
from partsvc.domain.text_file import (
    Form,
    read_json,
    refuse,
    whole_file,
    without_format,
    write_json,
)

FORMAT = "partsvc-catalogue-1"

#: The columns in the order in which they are written; each is a field of `Part`.
COLUMNS: Mapping[str, Cell] = {
    "number": Cell.NAME,
    "name": Cell.TEXT,
    "kind": Cell.CHOICE,
    "thread": Cell.TEXT,
    "length_mm": Cell.WHOLE,
    "drive": Cell.TEXT,
    "head": Cell.TEXT,
    "property_class": Cell.TEXT,
    "coating": Cell.TEXT,
    "mass_g": Cell.DECIMAL,
    "spent_at": Cell.CHOICE,
    "pack_size": Cell.WHOLE,
    "superseded_by": Cell.NAME,
    "note": Cell.TEXT,
    "contents": Cell.CONTENTS,
    "captive": Cell.FLAG,
    "only_in": Cell.NAME,
}
NEEDED = ("number", "name")
_COLUMN_OF = {name: name for name in COLUMNS}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Catalogue:
    parts: Annotated[tuple[Part, ...], AtMost(MOST_ROWS)]


def read_catalogue(data: bytes, form: Form, known: Mapping[str, Part]) -> tuple[Part, ...]:
    """The parts of a file, in its order; `known` are those already in the catalogue.

    Raises `Faulty` with every fault: first those of the form; only parts that are well formed are
    judged by what they mean (a number twice, an unknown successor).
    """
    if form is Form.CSV:
        return _read_csv(data, known)
    document = without_format(read_json(data), FORMAT)
    given = {"parts": document} if isinstance(document, list) else document
    parts = decode(_Catalogue, given).parts
    if not parts:
        raise whole_file("has no parts")
    refuse(placed.fault() for placed in placed_faults(parts, known))
    return parts


def _read_csv(data: bytes, known: Mapping[str, Part]) -> tuple[Part, ...]:
    table = read_table(data, tuple(COLUMNS), needed=NEEDED)
    places, faults = RowPlaces(), list[Fault]()
    given: list[Plain] = []
    for n, row in enumerate(table.rows, start=1):
        given.append(read_cells(row, COLUMNS, table, faults))
        places.note(f"parts[{n}]", row.number, _COLUMN_OF)
    try:
        parts = decode(_Catalogue, {"parts": given}).parts
    except Faulty as faulty:
        raise Faulty(in_row_order(faults, places.moved(faulty.faults))) from faulty
    refuse(faults)
    refuse(in_row_order((), places.moved(placed_faults(parts, known))))
    return parts


def write_catalogue(parts: Iterable[Part], form: Form) -> bytes:
    """The parts as a file that `read_catalogue` reads back to the same parts."""
    given = [_plain(part) for part in parts]
    if form is Form.CSV:
        return write_table(tuple(COLUMNS), (_cells(members) for members in given))
    return write_json({"format": FORMAT, "parts": list(given)})


def _plain(part: Part) -> dict[str, Plain]:
    members = encode(part)
    assert isinstance(members, dict)
    return members


def _cells(members: Mapping[str, Plain]) -> dict[str, str]:
    return {name: write_cell(value) for name, value in members.items()}
