"""Badges: a tag that says who somebody is; their name is never stored with it."""

from __future__ import annotations

import sqlite3

from partsvc.domain.desk import shown_bag
from partsvc.errors import Conflict
from partsvc.store import badges
from partsvc.work import people
from partsvc.work.service import Service
from partsvc.work.tagging import TagLine, new_codes


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
