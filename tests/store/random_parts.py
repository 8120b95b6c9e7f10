"""The catalogue of the rough weeks: some parts are superseded, some assembled, some in a kit."""

from __future__ import annotations

import json

from ledger_bench import Bench

from partsvc.domain.records import Plain
from partsvc.store import keeping

PARTS: tuple[dict[str, Plain], ...] = (
    {"number": "A2", "name": "newer stretch bolt", "kind": "bolt", "spent_at": "secure"},
    {
        "number": "A", "name": "stretch bolt", "kind": "bolt", "spent_at": "secure",
        "superseded_by": "A2",
    },
    {
        "number": "G", "name": "bolt with washers", "kind": "bolt", "captive": True,
        "contents": [{"part": "B"}, {"part": "W", "quantity": 2}],
    },
    {"number": "B", "name": "long bolt", "kind": "bolt", "superseded_by": "G"},
    {
        "number": "KIT", "name": "kit", "kind": "assembly",
        "contents": [{"part": "C", "quantity": 2}, {"part": "D"}, {"part": "G"}],
    },
    {"number": "D", "name": "patched screw", "kind": "screw", "spent_at": "fit", "only_in": "KIT"},
)  # fmt: skip
# What the plans name comes up more often than what takes its place.
NUMBERS = (*"ABCDEWABCDEW", "A2", "G", "KIT")


def more_parts(bench: Bench) -> None:
    """Write these parts into the bench's catalogue, the older ones anew."""
    with bench.service.database.writing() as db:
        for part in PARTS:
            keeping.put_part(
                db, bench.service.site, number=str(part["number"]), name=str(part["name"]),
                kind=str(part["kind"]), text=json.dumps(part),
            )  # fmt: skip
