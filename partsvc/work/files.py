"""Catalogues and procedures as files: looked at, taken in whole or not at all, and given out.

A file with any fault changes nothing; every fault is named by row and column, or by its place in
the document. A procedure becomes a new revision only when something in it changed.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass
from enum import StrEnum

from partsvc.domain import part_faults
from partsvc.domain.canonical import canonical_text, normalised
from partsvc.domain.catalogue_file import read_catalogue, write_catalogue
from partsvc.domain.file_changes import part_changes, plan_changes
from partsvc.domain.parts import Part
from partsvc.domain.plan import Plan
from partsvc.domain.plan_faults import oddities
from partsvc.domain.procedure_file import read_procedure, write_procedure
from partsvc.domain.records import Fault, Faulty, encode
from partsvc.domain.text_file import Form, form_of
from partsvc.errors import BadFile, Invalid, NotFound
from partsvc.store import keeping
from partsvc.work import procedures
from partsvc.work.service import Sender, Service, parts_of, plan_from

#: So many faults of one file are named; whoever has more has sent the wrong file.
MOST_FAULTS = 500


class Kind(StrEnum):
    """What a file holds."""

    CATALOGUE = "catalogue"
    PROCEDURE = "procedure"


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """How many of something there are in a file."""

    what: str
    quantity: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Preview:
    """What taking a file in would do; with any fault, nothing."""

    faults: tuple[Fault, ...] = ()
    oddities: tuple[str, ...] = ()
    counts: tuple[Counted, ...] = ()
    changes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenIn:
    """What taking a file in did: of a procedure its key and revision, in words what changed."""

    kind: Kind
    key: str = ""
    revision: int = 0
    oddities: tuple[str, ...] = ()
    counts: tuple[Counted, ...] = ()
    changes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Read:
    """A file that was read against a catalogue, and what it would change."""

    content: tuple[Part, ...] | Plan
    known: Mapping[str, Part]
    seen: Preview


def preview(service: Service, kind: str, name: str, data: bytes) -> Preview:
    """What a file would change, and every fault or oddity in it; nothing is taken in."""
    with service.database.reading() as db:
        try:
            return _read(service, db, _kind(kind), name, data).seen
        except Faulty as faulty:
            return Preview(faults=_named(faulty))


def take_in(
    service: Service,
    sender: Sender,
    kind: str,
    name: str,
    data: bytes,
    *,
    db: sqlite3.Connection | None = None,
) -> TakenIn:
    """Take a file in, all of it in one transaction; BadFile names every fault, and changes nothing.

    The file is read before the book is held for writing, and again only if the catalogue changed
    in between. `db` is a transaction that is open already.
    """
    wanted = _kind(kind)
    try:
        with service.database.reading() as looking:
            read = _read(service, looking, wanted, name, data)
        with _writing(service, db) as writing:
            if parts_of(service, writing) is not read.known:
                read = _read(service, writing, wanted, name, data)
            return _write(service, writing, sender, read)
    except Faulty as faulty:
        raise _bad(name, faulty) from faulty


def give_out(
    service: Service, kind: str, key: str, form: str, *, revision: int | None = None
) -> bytes:
    """The catalogue, or a procedure in its newest or the given revision, as a file."""
    wanted = _form(form)
    with service.database.reading() as db:
        if _kind(kind) is Kind.CATALOGUE:
            parts = sorted(parts_of(service, db).values(), key=lambda part: part.number)
            return write_catalogue(parts, wanted)
        row = keeping.revision(db, service.site, key, revision)
    if row is None:
        which = f" in revision {revision}" if revision else ""
        raise NotFound(f"There is no procedure “{key}”{which}. Look at the list.", procedure=key)
    return write_procedure(plan_from(row["text"]), wanted)


def _kind(kind: str) -> Kind:
    if kind not in set(Kind):
        raise Invalid(f"`kind` must be one of: {', '.join(Kind)}.", field="kind")
    return Kind(kind)


def _form(form: str) -> Form:
    if form not in set(Form):
        raise Invalid(f"`form` must be one of: {', '.join(Form)}.", field="form")
    return Form(form)


def _writing(
    service: Service, db: sqlite3.Connection | None
) -> AbstractContextManager[sqlite3.Connection]:
    return nullcontext(db) if db is not None else service.database.writing()


def _read(service: Service, db: sqlite3.Connection, kind: Kind, name: str, data: bytes) -> _Read:
    known = parts_of(service, db)
    form = form_of(name, data)
    if kind is Kind.CATALOGUE:
        return _seen_parts(read_catalogue(data, form, known), known)
    plan = read_procedure(data, form, known)
    newest = keeping.revision(db, service.site, plan.key)
    return _seen_plan(plan, plan_from(newest["text"]) if newest else None, known)


def _seen_parts(parts: tuple[Part, ...], known: Mapping[str, Part]) -> _Read:
    new = sum(part.number not in known for part in parts)
    same = sum(part == known.get(part.number) for part in parts)
    seen = Preview(
        oddities=part_faults.oddities(parts),
        counts=_counts(parts=len(parts), new=new, changed=len(parts) - new - same, same=same),
        changes=part_changes(parts, known),
    )
    return _Read(parts, known, seen)


def _seen_plan(plan: Plan, newest: Plan | None, known: Mapping[str, Part]) -> _Read:
    seen = Preview(
        oddities=oddities(plan, known),
        counts=_counts(
            steps=len(plan.steps),
            holds=len(plan.holds),
            positions=len(plan.positions),
            pieces=sum(position.pieces() for position in plan.positions.values()),
        ),
        changes=plan_changes(plan, newest),
    )
    return _Read(plan, known, seen)


def _counts(**numbers: int) -> tuple[Counted, ...]:
    return tuple(Counted(what=what, quantity=quantity) for what, quantity in numbers.items())


def _write(service: Service, db: sqlite3.Connection, sender: Sender, read: _Read) -> TakenIn:
    seen = read.seen
    if isinstance(read.content, Plan):
        shown, _ = procedures.add(service, db, sender, read.content)
        return TakenIn(
            kind=Kind.PROCEDURE,
            key=shown.procedure,
            revision=shown.number,
            oddities=seen.oddities,
            counts=seen.counts,
            changes=seen.changes,
        )
    for part in read.content:
        if part != read.known.get(part.number):
            _put(service, db, part)
    return TakenIn(
        kind=Kind.CATALOGUE, oddities=seen.oddities, counts=seen.counts, changes=seen.changes
    )


def _put(service: Service, db: sqlite3.Connection, part: Part) -> None:
    keeping.put_part(
        db,
        service.site,
        number=part.number,
        name=part.name,
        kind=part.kind.value,
        text=canonical_text(normalised(encode(part))),
    )


def _named(faulty: Faulty) -> tuple[Fault, ...]:
    """The faults that are named, each with a place."""
    faults = tuple(Fault(one.where or "the file", one.says) for one in faulty.faults)
    left = len(faults) - MOST_FAULTS
    if left <= 0:
        return faults
    return (*faults[:MOST_FAULTS], Fault("the file", f"has {left} faults more"))


def _bad(name: str, faulty: Faulty) -> BadFile:
    count = len(faulty.faults)
    counted = "one fault" if count == 1 else f"{count} faults"
    return BadFile(
        f"{name or 'The file'} has {counted}, and nothing of it was taken in. The first: "
        f"{_named(faulty)[0]}.",
        faults=tuple({"where": one.where, "says": one.says} for one in _named(faulty)),
    )
