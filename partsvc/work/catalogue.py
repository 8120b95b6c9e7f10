"""The catalogue of parts: looked up by everybody, kept by the parts desk."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Annotated

from partsvc.domain import part_faults
from partsvc.domain.canonical import canonical_text, normalised
from partsvc.domain.parts import Part, part_words
from partsvc.domain.records import Between, Length, Name, Says, decode, encode
from partsvc.errors import BadFile, Conflict, NotFound
from partsvc.store import balances, keeping
from partsvc.work.service import Service, parse, parts_of


@dataclass(frozen=True, slots=True, kw_only=True)
class PartShown:
    """A part of the catalogue, and what is odd about it."""

    part: Part
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ByNumber:
    """Which part numbers are asked for, in their order."""

    after: Annotated[Name | None, Says("the number before the page")] = None
    limit: Annotated[int, Between(1, 500)] = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class PartsSought:
    """Which parts are looked for: by words that all stand in number, name or measures."""

    words: Annotated[str, Length(0, 120)] = ""
    after: Annotated[str, Length(0, 80)] = ""
    limit: Annotated[int, Between(1, 500)] = 50


@dataclass(frozen=True, slots=True, kw_only=True)
class PartsFound:
    """A page of the parts that were looked for, by number; `more` if others come after it."""

    parts: tuple[Part, ...]
    all: int
    more: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PartsPage:
    """A page of the catalogue."""

    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StockLine:
    """How many of a part the store has by its book."""

    part: str
    called: str
    quantity: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StockPage:
    """A page of what the store has."""

    stock: tuple[StockLine, ...]


def page(service: Service, wanted: ByNumber) -> PartsPage:
    """A page of the catalogue by number."""
    with service.database.reading() as db:
        rows = keeping.part_page(db, service.site, after=wanted.after or "", limit=wanted.limit)
    return PartsPage(parts=tuple(decode(Part, parse(row["text"])) for row in rows))


def search(service: Service, sought: PartsSought) -> PartsFound:
    """The parts in which every word stands somewhere: `m8 25 bolt` finds the bolts M8x25."""
    with service.database.reading() as db:
        known = parts_of(service, db)
    words = sought.words.casefold().split()
    found = sorted(number for number, one in known.items() if _is_meant(one, words))
    rest = [number for number in found if number > sought.after]
    page = rest[: sought.limit]
    return PartsFound(
        parts=tuple(known[number] for number in page), all=len(found), more=len(rest) > len(page)
    )


def _is_meant(part: Part, words: list[str]) -> bool:
    length = f"{part.thread}x{part.length_mm}" if part.length_mm else part.thread
    told = (part.number, part.name, part.kind.value, length, part.drive, part.head,
            part.property_class, part.coating, part.note)  # fmt: skip
    text = " ".join(told).casefold()
    return all(word in text for word in words)


def names_of(service: Service, numbers: Iterable[str]) -> dict[str, str]:
    """What a person calls these parts; a number that the catalogue lacks stands for itself."""
    with service.database.reading() as db:
        known = parts_of(service, db)
    return {number: part_words(number, known.get(number)) for number in numbers}


def part(service: Service, db: sqlite3.Connection, number: str) -> PartShown:
    """One part; NotFound if the catalogue has none of that number."""
    row = keeping.part(db, service.site, number)
    if row is None:
        raise NotFound(
            f"The catalogue has no part {number}. Check the number, or add the part.", part=number
        )
    return _shown(decode(Part, parse(row["text"])))


def add(service: Service, db: sqlite3.Connection, given: Part) -> PartShown:
    """A part that the catalogue does not have yet; Conflict when it has."""
    if keeping.part(db, service.site, given.number) is not None:
        raise Conflict(
            f"The catalogue has part {given.number} already. Change it there.", part=given.number
        )
    return put(service, db, given)


def put(service: Service, db: sqlite3.Connection, given: Part) -> PartShown:
    """Write a part, new or anew; BadFile names what is wrong with it."""
    known = {number: one for number, one in parts_of(service, db).items() if number != given.number}
    faults = part_faults.faults((given,), known)
    if faults:
        listed = "; ".join(fault.says for fault in faults)
        raise BadFile(
            f"Part {given.number} cannot be taken: {listed}.",
            faults=tuple({"where": fault.where, "says": fault.says} for fault in faults),
        )
    keeping.put_part(
        db,
        service.site,
        number=given.number,
        name=given.name,
        kind=given.kind.value,
        text=canonical_text(normalised(encode(given))),
    )
    return _shown(given)


def _shown(found: Part) -> PartShown:
    return PartShown(part=found, remarks=part_faults.oddities((found,)))


def stock(service: Service, wanted: ByNumber) -> StockPage:
    """A page of what the store has by its book; empty where nobody books receipts."""
    with service.database.reading() as db:
        known = parts_of(service, db)
        rows = balances.stock_levels(db, service.site, after=wanted.after or "", limit=wanted.limit)
    return StockPage(
        stock=tuple(
            StockLine(
                part=row["part"],
                called=part_words(row["part"], known.get(row["part"])),
                quantity=row["quantity"],
            )
            for row in rows
        )
    )
