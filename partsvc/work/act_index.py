"""Holds what is kept for quick reading against the acts' own texts, which alone count.

Each check takes an act as its text has it and the rows that index it, and yields what differs.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence

from partsvc.domain.records import Plain
from partsvc.store.database import Row

# Columns of an act and the members of its text that they repeat.
COLUMNS = {
    "seq": "seq",
    "key": "key",
    "kind": "kind",
    "done_by": "by",
    "recorded_by": "recorded_by",
    "supervised_by": "supervised_by",
    "sent_by": "sent_by",
    "done_at": "done_at",
    "received_at": "received_at",
    "device_seq": "device_seq",
    "step": "step",
    "reverses": "reverses",
    "format": "format",
}
Said = Mapping[str, Plain]


def columns_differ(said: Said, row: Row) -> Iterator[str]:
    """The columns of an act's row that are not what its text says."""
    for column, member in COLUMNS.items():
        if (row[column] or None) != (said.get(member) or None):
            yield f"{column} is {row[column]!r}, the text says {said.get(member)!r}"


def entries_differ(said: Said, rows: Sequence[Row]) -> Iterator[str]:
    """Whether an act's rows of movements are those of its text."""
    told = said.get("entries")
    if [_entry(row) for row in rows] != told:
        yield "its entries are not those of its text"
    if any(row["n"] != n for n, row in enumerate(rows)):
        yield "its entries are not numbered from 0"
    if any(row["reversal"] != int("reverses" in said) for row in rows):
        yield "its entries are marked wrongly as reversal"


def _entry(row: Row) -> dict[str, Plain]:
    return {
        "part": row["part"],
        "quantity": row["quantity"],
        "from": _spot(row, "from"),
        "to": _spot(row, "to"),
    }


def _spot(row: Row, side: str) -> dict[str, Plain]:
    return {member: row[f"{side}_{member}"] for member in ("account", "place", "condition", "lot")}


def effects_differ(said: Said, rows: Sequence[Row]) -> Iterator[str]:
    """Whether an act's rows of effects are those of its text."""
    if [_effect(row) for row in rows] != said.get("effects"):
        yield "its effects are not those of its text"
    if any(row["n"] != n for n, row in enumerate(rows)):
        yield "its effects are not numbered from 0"


def _effect(row: Row) -> object:
    try:
        members = json.loads(row["text"])
    except ValueError:
        return row["text"]
    return {"effect": row["kind"], **members} if isinstance(members, dict) else members
