"""Badges: a tag that says who somebody is; their name is never stored with it."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass

from partsvc.domain.desk import shown_bag
from partsvc.errors import Conflict
from partsvc.store import badges
from partsvc.work import people
from partsvc.work.service import Service
from partsvc.work.tagging import TagLine, new_codes


@dataclass(frozen=True, slots=True, kw_only=True)
class Badge:
    """A badge that is still good: its code as scanned and as printed, and since when."""

    code: str
    shown: str
    minted_at: str


def badges_of(service: Service, person: str) -> tuple[Badge, ...]:
    """The badges of somebody that are still good, newest first."""
    with service.database.reading() as db:
        rows = badges.of_person(db, service.site, person)
    return tuple(
        Badge(code=row["code"], shown=shown_bag(row["code"]), minted_at=row["minted_at"])
        for row in rows
    )


def mint_badge(service: Service, db: sqlite3.Connection, person: str) -> TagLine:
    """A badge for somebody who works here; one that is lost is voided, and another minted."""
    found = people.person(service, db, person)
    if not found.active:
        raise Conflict(
            "This person does not work here any more. Make them active first.", person=person
        )
    (code,) = new_codes(service, db, 1)
    badges.add_badge(db, service.site, code, person=found.id, at=service.stamp())
    return TagLine(code=code, shown=shown_bag(code), job="", position="", words="")
