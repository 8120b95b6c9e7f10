"""A procedure's flat table: rows to the plain document of a plan, and back.

Only the shape is dealt with here; whether the document is a plan, and whether that plan can be
worked, is judged as for any other document. Where everything came from is kept beside it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from partsvc.domain.cells import read_cells, write_cell
from partsvc.domain.procedure_columns import (
    COLUMNS,
    KIND_OF,
    KINDS,
    STACK,
    WHAT,
    RowKind,
    used_by,
)
from partsvc.domain.records import Fault, Plain
from partsvc.domain.row_places import RowPlaces
from partsvc.domain.tabular import Row, Table

Record = dict[str, Plain]
#: What a new row of a kind ends: a stage after the next step belongs to nothing.
_ENDS: Mapping[str, tuple[str, ...]] = {"step": ("hold", "position", "stack")}


@dataclass(slots=True)
class Reading:
    """The document as far as it was read, with the records that further rows may belong to."""

    table: Table
    document: Record = field(default_factory=dict)
    places: RowPlaces = field(default_factory=RowPlaces)
    faults: list[Fault] = field(default_factory=list)
    still_open: dict[str, tuple[Record, str]] = field(default_factory=dict)


def read_rows(table: Table) -> Reading:
    """The document in a table, its faults so far, and where each part of it came from."""
    reading = Reading(table)
    first = table.rows[0]
    if _what(first) != "procedure":
        reading.faults.append(first.fault(WHAT, "the first row is the row `procedure`"))
        return reading
    for row in table.rows:
        _read_row(reading, row)
    return reading


def _what(row: Row) -> str:
    return row.cells.get(WHAT, "").strip().casefold()


def _read_row(reading: Reading, row: Row) -> None:
    what = _what(row)
    kind = KIND_OF.get(what)
    if kind is None:
        says = f"“{what}” is not one of: {', '.join(KIND_OF)}" if what else "is missing"
        reading.faults.append(row.fault(WHAT, says))
        return
    _unused_cells(reading, row, kind)
    values = read_cells(row, COLUMNS, reading.table, reading.faults)
    if what == "procedure":
        _begin(reading, row, kind, values)
        return
    parent = next((name for name in kind.under if name in reading.still_open), None)
    if parent is None:
        above = " or ".join(f"`{name}`" for name in kind.under)
        reading.faults.append(row.fault(WHAT, f"no row {above} stands above, to which it belongs"))
        return
    _join(reading, row, kind, values, reading.still_open[parent])


def _unused_cells(reading: Reading, row: Row, kind: RowKind) -> None:
    used = used_by(kind)
    for column in row.cells:
        if column != WHAT and column not in used:
            says = f"is not used in a row `{kind.what}`; used there: {', '.join(used)}"
            reading.faults.append(row.fault(column, says))


def _begin(reading: Reading, row: Row, kind: RowKind, values: Record) -> None:
    if reading.still_open:
        says = "stands twice; one file holds one procedure, and it comes first"
        reading.faults.append(row.fault(WHAT, says))
        return
    reading.document.update(_members(kind.member_of, values))
    reading.places.note("", row.number, kind.column_of())
    reading.still_open["procedure"] = (reading.document, "")


def _join(
    reading: Reading, row: Row, kind: RowKind, values: Record, parent: tuple[Record, str]
) -> None:
    """Put what the row says into its list in the record above."""
    record, above = parent
    siblings = record.setdefault(kind.joins, [])
    assert isinstance(siblings, list)
    path = f"{above}.{kind.joins}[{len(siblings) + 1}]".removeprefix(".")
    if kind.what == "caution":
        siblings.append(values.get("words", ""))
        reading.places.note(path, row.number, {"": "words"})
        return
    own = _members(kind.member_of, values)
    siblings.append(own)
    reading.places.note(path, row.number, kind.column_of() | {"stack": "part"})
    if kind.what == "position":
        first = _members(STACK, values)
        own["stack"] = [first] if first else []
        reading.places.note(f"{path}.stack[1]", row.number, STACK)
        reading.still_open.pop("stack", None)
        if first:
            # A number that is accepted too may stand right below: it belongs to the first part.
            reading.still_open["stack"] = (first, f"{path}.stack[1]")
    reading.still_open[kind.what] = (own, path)
    for ended in _ENDS.get(kind.what, ()):
        reading.still_open.pop(ended, None)


def _members(member_of: Mapping[str, str], values: Record) -> Record:
    return {member_of[column]: value for column, value in values.items() if column in member_of}


def write_rows(document: Record) -> Iterator[dict[str, str]]:
    """The rows of a plan's plain document, each thing under what it belongs to."""
    yield from _rows(KIND_OF["procedure"], document)


def _rows(kind: RowKind, given: Plain) -> Iterator[dict[str, str]]:
    if not isinstance(given, dict):
        yield {WHAT: kind.what, "words": write_cell(given)}
        return
    inner = dict(given)
    cells = _cells(kind.member_of, inner)
    accepted: list[Plain] = []
    if kind.what == "position":
        first, *others = _listed(inner, "stack")
        assert isinstance(first, dict)
        cells |= _cells(STACK, first)
        accepted = _listed(first, "accepts")
        inner["stack"] = others
    yield {WHAT: kind.what, **cells}
    for one in accepted:
        yield from _rows(KIND_OF["accepts"], one)
    for below in KINDS:
        if kind.what in below.under:
            for item in _listed(inner, below.joins):
                yield from _rows(below, item)


def _listed(record: Record, name: str) -> list[Plain]:
    found = record.get(name, [])
    assert isinstance(found, list)
    return found


def _cells(member_of: Mapping[str, str], record: Record) -> dict[str, str]:
    return {
        column: write_cell(record[member])
        for column, member in member_of.items()
        if member in record
    }
