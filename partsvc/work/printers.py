"""The workshop's printers: kept by the lead, asked how they are."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from partsvc.domain.records import Length, Line, Name, Says
from partsvc.errors import NotFound
from partsvc.ipp.printer import Printer, PrinterFacts, PrinterFault
from partsvc.store import printing as store
from partsvc.store.database import Row
from partsvc.work import clock
from partsvc.work.service import Service
from partsvc.work.tagging import USUAL_STOCK, stock_of


class Format(StrEnum):
    """In which format tags are sent."""

    PDF = "application/pdf"
    PNG = "image/png"


@dataclass(frozen=True, slots=True, kw_only=True)
class PrinterGiven:
    """A printer: where it answers, and what is in it."""

    name: Name
    address: Annotated[Line, Length(8, 200), Says("such as ipp://printer.local/ipp/print")]
    stock: Annotated[Name, Says("the label stock that is in it")] = USUAL_STOCK
    format: Annotated[Format, Says("what it is sent; png for one label at a time")] = Format.PDF
    media: Annotated[Name | None, Says("the medium's name at the printer, if it must be told")] = (
        None
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class PrinterShown:
    """A printer as it is kept."""

    id: str
    name: str
    address: str
    stock: str
    format: Format
    media: str
    version: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Printers:
    """All printers in use."""

    printers: tuple[PrinterShown, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PrinterNow:
    """What a printer says of itself at this moment; `answers` is false when it is away."""

    answers: bool
    state: str
    trouble: tuple[str, ...]
    accepting: bool
    formats: tuple[str, ...]
    media_ready: tuple[str, ...]
    fits: Annotated[bool, Says("whether it takes the format that it is to be sent")]
    words: str


def shown(row: Row) -> PrinterShown:
    """A stored printer."""
    return PrinterShown(
        id=row["id"],
        name=row["name"],
        address=row["address"],
        stock=row["stock"],
        format=Format(row["format"]),
        media=row["media"],
        version=row["version"],
    )


def all_printers(service: Service) -> Printers:
    """All printers in use, by name."""
    with service.database.reading() as db:
        return Printers(printers=tuple(map(shown, store.printers(db, service.site))))


def printer_row(service: Service, db: sqlite3.Connection, ident: str) -> Row:
    """A printer in use, or NotFound."""
    row = store.printer(db, service.site, ident)
    if row is None or not row["active"]:
        raise NotFound(f"There is no printer {ident}. Look at the list of printers.", printer=ident)
    return row


def one_printer(service: Service, ident: str) -> PrinterShown:
    """One printer, or NotFound."""
    with service.database.reading() as db:
        return shown(printer_row(service, db, ident))


def add_printer(service: Service, db: sqlite3.Connection, given: PrinterGiven) -> PrinterShown:
    """A printer is put up."""
    return put_printer(service, db, clock.new_id("p"), given)


def put_printer(
    service: Service, db: sqlite3.Connection, ident: str, given: PrinterGiven
) -> PrinterShown:
    """A printer is written anew."""
    stock_of(given.stock)
    store.put_printer(
        db,
        service.site,
        ident,
        name=given.name,
        address=given.address,
        stock=given.stock,
        format=given.format.value,
        media=given.media or "",
    )
    return shown(printer_row(service, db, ident))


def retire_printer(service: Service, db: sqlite3.Connection, ident: str) -> PrinterShown:
    """A printer is taken away; what was printed on it stays on record."""
    row = printer_row(service, db, ident)
    store.retire_printer(db, service.site, ident)
    return shown(row)


def printer_now(service: Service, ident: str) -> PrinterNow:
    """Ask a printer how it is; being away is an answer too."""
    kept = one_printer(service, ident)
    try:
        facts = Printer(kept.address).facts()
    except PrinterFault as fault:
        return PrinterNow(
            answers=False,
            state="unknown",
            trouble=(),
            accepting=False,
            formats=(),
            media_ready=(),
            fits=False,
            words=str(fault),
        )
    return _now(kept, facts)


def _now(kept: PrinterShown, facts: PrinterFacts) -> PrinterNow:
    fits = kept.format.value in facts.formats
    said = list(facts.trouble)
    if not fits:
        takes = ", ".join(facts.formats) or "nothing"
        said.append(f"it does not take {kept.format.value}; it takes {takes}")
    if kept.media and kept.media not in facts.media_supported:
        said.append(f"it knows no medium {kept.media}")
    return PrinterNow(
        answers=True,
        state=facts.state,
        trouble=facts.trouble,
        accepting=facts.accepting,
        formats=facts.formats,
        media_ready=facts.media_ready,
        fits=fits,
        words="; ".join(said) or "ready",
    )
