"""What is to be printed waits in the database: asked for, looked at, cancelled, printed again."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from hashlib import sha256
from typing import Annotated

from partsvc.domain.acts.fields import BagCode
from partsvc.domain.printing import Stage
from partsvc.domain.records import AtMost, Between, Id, Line, Says
from partsvc.errors import Conflict, Invalid, NotFound
from partsvc.store import printing as store
from partsvc.store.database import Row
from partsvc.work import clock, tagging
from partsvc.work.printers import Format, PrinterShown, printer_row, shown
from partsvc.work.service import Sender, Service
from partsvc.work.stocks import scale_page_of


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintWanted:
    """Tags to print: these codes, or all of a job, from which label of the first sheet on."""

    printer: Id
    codes: Annotated[tuple[BagCode, ...], AtMost(500), Says("the tags, in this order")] = ()
    job: Annotated[Id | None, Says("all tags of this job that are still good")] = None
    start_at: Annotated[int, Between(1, 400), Says("the first label that is still free")] = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintingShown:
    """Something that is printed, or waits to be."""

    id: str
    number: int
    printer: str
    name: str
    stage: Stage
    tags: tuple[str, ...]
    words: str
    tries: int
    again_of: str
    asked_by: str
    asked_at: str
    ended_at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintingsMade:
    """What was put into the queue; single labels are one printing each."""

    printings: tuple[PrintingShown, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintingsWanted:
    """Which page of the printings."""

    cursor: Annotated[int, Between(1, 2**53 - 1), Says("only those before this number")] = 2**53 - 1
    limit: Annotated[int, Between(1, 200)] = 50


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What a person found at the printer."""

    came_out: Annotated[bool, Says("true: it is there; false: it is not, and is left alone")]
    words: Line | None = None


def ask(
    service: Service, db: sqlite3.Connection, sender: Sender, wanted: PrintWanted
) -> PrintingsMade:
    """Put tags into a printer's queue: a sheet is one document, single labels are one each."""
    printer = shown(printer_row(service, db, wanted.printer))
    codes = _codes(service, db, wanted)
    made = [
        _add(service, db, sender, printer, document, tags)
        for document, tags in _documents(service, printer, codes, wanted.start_at)
    ]
    return PrintingsMade(printings=tuple(one_printing(service, db, ident) for ident in made))


def ask_scale_page(
    service: Service, db: sqlite3.Connection, sender: Sender, ident: str
) -> PrintingShown:
    """Put the page with outlines and rulers into a printer's queue, to try its labels with."""
    printer = shown(printer_row(service, db, ident))
    if printer.format is not Format.PDF:
        raise Conflict(
            "This printer takes pictures, and the scale page is a PDF. Print one tag to try it.",
            printer=ident,
        )
    made = _add(service, db, sender, printer, scale_page_of(printer.stock), ())
    return one_printing(service, db, made)


def _codes(service: Service, db: sqlite3.Connection, wanted: PrintWanted) -> list[str]:
    if bool(wanted.codes) == (wanted.job is not None):
        raise Invalid("Say either `codes` or a `job`.", field="codes")
    if wanted.job is not None:
        codes = [line.code for line in tagging.tags_of_job(service, wanted.job).tags]
    else:
        rows = [tagging.tag_row(service, db, code) for code in wanted.codes]
        codes = list(dict.fromkeys(row["code"] for row in rows))
    if not codes:
        raise Conflict("There are no tags to print. Mint some first.", job=wanted.job or "")
    return codes


def _documents(
    service: Service, printer: PrinterShown, codes: Sequence[str], start_at: int
) -> list[tuple[bytes, list[str]]]:
    """The documents to send, each with its tags."""
    stock = tagging.stock_of(printer.stock)
    if printer.format is Format.PNG:
        return [(tagging.picture_of_tag(service, code, stock=stock.key), [code]) for code in codes]
    if stock.labels_a_page == 1:
        return [(tagging.sheet_of_tags(service, [code], stock=stock.key), [code]) for code in codes]
    sheet = tagging.sheet_of_tags(service, codes, stock=stock.key, start_at=start_at)
    return [(sheet, list(codes))]


def _add(
    service: Service,
    db: sqlite3.Connection,
    sender: Sender,
    printer: PrinterShown,
    document: bytes,
    tags: Sequence[str],
    again_of: str = "",
) -> str:
    ident = clock.new_id("q")
    store.add(
        db,
        service.site,
        ident=ident,
        printer=printer.id,
        # The printer is asked by this name what became of a printing, so it is like no other.
        name=f"tags {ident}",
        format=printer.format.value,
        document=document,
        digest=sha256(document).hexdigest(),
        tags=tags,
        again_of=again_of,
        by=sender.person,
        at=service.stamp(),
    )
    return ident


def printing_row(service: Service, db: sqlite3.Connection, ident: str) -> Row:
    """One printing, or NotFound."""
    row = store.one(db, service.site, ident)
    if row is None:
        raise NotFound(f"There is no printing {ident}. Look at the list.", printing=ident)
    return row


def one_printing(service: Service, db: sqlite3.Connection, ident: str) -> PrintingShown:
    """One printing, as it stands."""
    return _shown(printing_row(service, db, ident))


def _shown(row: Row) -> PrintingShown:
    return PrintingShown(
        id=row["id"],
        number=row["number"],
        printer=row["printer"],
        name=row["name"],
        stage=Stage(row["stage"]),
        tags=tuple(row["tags"].split()),
        words=row["words"],
        tries=row["tries"],
        again_of=row["again_of"],
        asked_by=row["asked_by"],
        asked_at=row["asked_at"],
        ended_at=row["ended_at"],
    )


def look(service: Service, ident: str) -> PrintingShown:
    """How far one printing is."""
    with service.database.reading() as db:
        return one_printing(service, db, ident)


def printings(service: Service, wanted: PrintingsWanted) -> PrintingsMade:
    """A page of printings, newest first."""
    with service.database.reading() as db:
        rows = store.page(db, service.site, before=wanted.cursor, limit=wanted.limit)
        return PrintingsMade(printings=tuple(map(_shown, rows)))


def print_again(
    service: Service, db: sqlite3.Connection, sender: Sender, ident: str
) -> PrintingShown:
    """A person asks for the same document once more; it is a printing of its own."""
    row = printing_row(service, db, ident)
    if not Stage(row["stage"]).ended:
        raise Conflict(
            "This is still being printed. Cancel it first, or wait until it has ended.",
            printing=ident,
        )
    printer = shown(printer_row(service, db, row["printer"]))
    document = store.document(db, service.site, ident)
    made = _add(service, db, sender, printer, document, row["tags"].split(), again_of=ident)
    return one_printing(service, db, made)


def cancel(service: Service, db: sqlite3.Connection, ident: str) -> PrintingShown:
    """What has not gone to the printer yet is not printed at all."""
    row = printing_row(service, db, ident)
    if Stage(row["stage"]) not in (Stage.WAITING, Stage.BEGUN, Stage.NUMBERED):
        raise Conflict(
            "It is at the printer already, or has ended. Cancel it at the printer itself.",
            printing=ident,
        )
    note(service, db, row, Stage.CANCELLED, words="cancelled before it was sent")
    return one_printing(service, db, ident)


def settle(service: Service, db: sqlite3.Connection, ident: str, given: Outcome) -> PrintingShown:
    """A person looked at the printer, where it could not say itself what came out."""
    row = printing_row(service, db, ident)
    if Stage(row["stage"]) not in (Stage.UNSURE, Stage.FAILED):
        raise Conflict("The printer itself says how far this is.", printing=ident)
    stage = Stage.PRINTED if given.came_out else Stage.FAILED
    note(service, db, row, stage, words=given.words or "as seen at the printer")
    return one_printing(service, db, ident)


def note(
    service: Service,
    db: sqlite3.Connection,
    row: Row,
    stage: Stage,
    *,
    printer_job: int | None = None,
    words: str = "",
    tries: int | None = None,
    wait_s: float = 0,
) -> None:
    """Note how far a printing is; what is printed is counted as one more copy of its tags."""
    now = service.now()
    at = clock.stamp(now)
    store.move(
        db,
        service.site,
        row["id"],
        stage=stage.value,
        printer_job=row["printer_job"] if printer_job is None else printer_job,
        tries=row["tries"] if tries is None else tries,
        next_at=clock.stamp(now + timedelta(seconds=wait_s)),
        words=words,
        ended_at=at if stage.ended else "",
    )
    if stage is Stage.PRINTED:
        store.note_printed(db, service.site, row["tags"].split(), row["id"], at=at)
