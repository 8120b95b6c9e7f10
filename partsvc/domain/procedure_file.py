"""A procedure as a file: JSON, the plan's own document, or a flat table for a spreadsheet."""

from __future__ import annotations

from collections.abc import Container

from partsvc.domain.plan import Plan
from partsvc.domain.plan_faults import faults, placed_faults
from partsvc.domain.procedure_columns import COLUMNS, WHAT
from partsvc.domain.procedure_table import read_rows, write_rows
from partsvc.domain.records import Faulty, Plain, decode, encode
from partsvc.domain.row_places import in_row_order
from partsvc.domain.tabular import read_table, write_table
from partsvc.domain.text_file import Form, read_json, refuse, without_format, write_json

FORMAT = "partsvc-procedure-1"
NEEDED = (WHAT, "id", "words")


def read_procedure(data: bytes, form: Form, known_parts: Container[str]) -> Plan:
    """The procedure in a file; `known_parts` are the part numbers of the catalogue.

    Raises `Faulty` with every fault: first those of the form, by row and column (or by the place
    in the document); only a plan that is well formed is judged by whether it can be worked.
    """
    if form is Form.CSV:
        return _read_csv(data, known_parts)
    plan = decode(Plan, without_format(read_json(data), FORMAT))
    refuse(faults(plan, known_parts))
    return plan


def _read_csv(data: bytes, known_parts: Container[str]) -> Plan:
    reading = read_rows(read_table(data, (WHAT, *COLUMNS), needed=NEEDED))
    if not reading.still_open:
        raise Faulty(tuple(reading.faults))
    try:
        plan = decode(Plan, reading.document)
    except Faulty as faulty:
        found = reading.places.moved(faulty.faults)
        raise Faulty(in_row_order(reading.faults, found)) from faulty
    refuse(in_row_order(reading.faults, ()))
    refuse(in_row_order((), reading.places.moved(placed_faults(plan, known_parts))))
    return plan


def write_procedure(plan: Plan, form: Form) -> bytes:
    """The procedure as a file that `read_procedure` reads back to the same plan."""
    document = plain_plan(plan)
    if form is Form.CSV:
        return write_table((WHAT, *COLUMNS), write_rows(document))
    return write_json({"format": FORMAT, **document})


def plain_plan(plan: Plan) -> dict[str, Plain]:
    """The plan's document: what stands at its default is left out."""
    document = encode(plan)
    assert isinstance(document, dict)
    return document
