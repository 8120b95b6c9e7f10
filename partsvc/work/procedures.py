"""Procedures: numbered revisions that never change once they are in."""

from __future__ import annotations

import hashlib
import sqlite3
from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.canonical import canonical_text, normalised
from partsvc.domain.plan import Plan
from partsvc.domain.plan_faults import faults, oddities
from partsvc.domain.records import Between, Id, Says, encode
from partsvc.errors import BadFile, NotFound
from partsvc.store import keeping, people, revisions
from partsvc.store.database import Row
from partsvc.work.service import Sender, Service, parts_of, plan_from


@dataclass(frozen=True, slots=True, kw_only=True)
class RevisionShown:
    """One revision of a procedure, with what is odd about it.

    `hash` is the SHA-256 of the plan's canonical text (RFC 8785).
    """

    procedure: str
    number: int
    title: str
    hash: str
    added_at: str
    plan: Plan
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcedureLine:
    """The newest revision of a procedure."""

    procedure: str
    number: int
    title: str
    hash: str
    added_at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ProceduresPage:
    """A page of procedures."""

    procedures: tuple[ProcedureLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RevisionLine:
    """One revision in the list of a procedure's revisions, with how many jobs are on it."""

    number: int
    title: str
    added_by: str
    added_at: str
    jobs: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ByKey:
    """Which procedures are asked for, by their key."""

    after: Annotated[Id | None, Says("the key before the page")] = None
    limit: Annotated[int, Between(1, 200)] = 100


def page(service: Service, wanted: ByKey) -> ProceduresPage:
    """A page of procedures, each in its newest revision."""
    with service.database.reading() as db:
        rows = keeping.revisions(db, service.site, after=wanted.after or "", limit=wanted.limit)
    return ProceduresPage(
        procedures=tuple(
            ProcedureLine(
                procedure=row["procedure"],
                number=row["number"],
                title=row["title"],
                hash=row["hash"],
                added_at=row["added_at"],
            )
            for row in rows
        )
    )


def revision(service: Service, key: str, number: int | None = None) -> RevisionShown:
    """One revision, the newest if no number is given; NotFound if there is none."""
    with service.database.reading() as db:
        row = keeping.revision(db, service.site, key, number)
        if row is None:
            which = f" in revision {number}" if number else ""
            raise NotFound(f"There is no procedure {key}{which}.", procedure=key)
        return _shown(service, db, row)


def revisions_of(service: Service, key: str) -> tuple[RevisionLine, ...]:
    """Every revision of a procedure, newest first; none if there is no such procedure."""
    with service.database.reading() as db:
        rows = revisions.of_procedure(db, service.site, key)
        names = {row["id"]: row["name"] for row in people.people(db, service.site)}
    return tuple(
        RevisionLine(
            number=row["number"],
            title=row["title"],
            added_by=names.get(row["added_by"]) or row["added_by"],
            added_at=row["added_at"],
            jobs=row["jobs"],
        )
        for row in rows
    )


def add(
    service: Service, db: sqlite3.Connection, sender: Sender, plan: Plan
) -> tuple[RevisionShown, bool]:
    """Take a procedure in, as a new revision unless nothing in it changed; says whether it is new.

    BadFile names each fault by step and position.
    """
    found = faults(plan, parts_of(service, db))
    if found:
        raise BadFile(
            f"The procedure has {len(found)} faults; the first: {found[0]}. Put them right and "
            "send it again.",
            faults=tuple({"where": fault.where, "says": fault.says} for fault in found),
        )
    text = canonical_text(normalised(encode(plan)))
    digest = hashlib.sha256(text.encode()).hexdigest()
    newest = keeping.revision(db, service.site, plan.key)
    if newest is not None and newest["hash"] == digest:
        return _shown(service, db, newest), False
    number = newest["number"] + 1 if newest else 1
    keeping.add_revision(
        db,
        service.site,
        procedure=plan.key,
        number=number,
        title=plan.title,
        digest=digest,
        text=text,
        by=sender.person,
        at=service.stamp(),
    )
    row = keeping.revision(db, service.site, plan.key, number)
    if row is None:
        raise RuntimeError("the revision was not written")
    return _shown(service, db, row), True


def _shown(service: Service, db: sqlite3.Connection, row: Row) -> RevisionShown:
    plan = plan_from(row["text"])
    return RevisionShown(
        procedure=row["procedure"],
        number=row["number"],
        title=row["title"],
        hash=row["hash"],
        added_at=row["added_at"],
        plan=plan,
        remarks=oddities(plan, parts_of(service, db)),
    )
