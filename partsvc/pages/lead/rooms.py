"""All of the lead's rooms, to be put on an application."""

from __future__ import annotations

from partsvc.pages.lead import (
    equipment,
    front,
    imports,
    jobs,
    keeping,
    opening,
    parts,
    people,
    printers,
    procedures,
    vehicles,
)
from partsvc.pages.room import PageRoom

ROOMS: tuple[PageRoom, ...] = tuple(
    one.room
    for one in (
        front, opening, jobs, people, vehicles, parts, imports, procedures, printers, equipment,
        keeping,
    )
)  # fmt: skip
