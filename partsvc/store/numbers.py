"""What was said of part numbers on the jobs of one vehicle."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass

from partsvc.domain.effects import Effect
from partsvc.store.acts import effect_of

KINDS = ("number-accepted", "number-refused")


@dataclass(frozen=True, slots=True, kw_only=True)
class SaidOnJob:
    """What was said of a number, on which job, under which procedure."""

    job_number: int
    procedure: str
    effect: Effect


def said_of_numbers(db: sqlite3.Connection, site: str, vehicle: str) -> list[SaidOnJob]:
    """Everything that still holds, from the oldest job to the newest."""
    rows = db.execute(
        "SELECT j.number, j.procedure, e.kind, e.text FROM job j"
        " JOIN effect e ON e.site = j.site AND e.account = j.id AND e.kind IN (?, ?)"
        " JOIN act a ON a.site = e.site AND a.account = e.account AND a.seq = e.seq"
        " WHERE j.site = ? AND j.vehicle = ? AND NOT EXISTS (SELECT 1 FROM act r"
        "  WHERE r.site = a.site AND r.account = a.account AND r.reverses = a.key)"
        " ORDER BY j.number, e.seq, e.n",
        (*KINDS, site, vehicle),
    )
    return [
        SaidOnJob(job_number=row["number"], procedure=row["procedure"], effect=effect_of(row))
        for row in rows
    ]
