"""Prints tags: what waits is kept in the database, and each step is noted before it is taken.

One worker goes round the printers. It can be killed at any moment: what it had noted tells the
next one what to ask the printer, and nothing is ever sent twice on a guess.
"""

from __future__ import annotations

import logging
import sqlite3
import threading
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from hashlib import sha256
from typing import Annotated

from partsvc.domain.acts.fields import BagCode
from partsvc.domain.printing import MOST_TRIES, Heard, Next, Stage, after, next_step, pause_s
from partsvc.domain.records import AtMost, Between, Id, Line, Says
from partsvc.errors import Conflict, Invalid, NotFound
from partsvc.ipp.printer import (
    Busy,
    Declined,
    JobFacts,
    JobState,
    NoSuchJob,
    Printer,
    PrinterFault,
    Unreachable,
    reason_words,
)
from partsvc.store import printing as store
from partsvc.store.database import Row
from partsvc.work import clock, tagging
from partsvc.work.printers import Format, PrinterShown, printer_row, shown
from partsvc.work.service import Sender, Service

LOG = logging.getLogger("partsvc.printing")
ROUND_S = 1.0
FIRST_LOOK_S = 0.3


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
    _note(service, db, row, Stage.CANCELLED, words="cancelled before it was sent")
    return one_printing(service, db, ident)


def settle(service: Service, db: sqlite3.Connection, ident: str, given: Outcome) -> PrintingShown:
    """A person looked at the printer, where it could not say itself what came out."""
    row = printing_row(service, db, ident)
    if Stage(row["stage"]) not in (Stage.UNSURE, Stage.FAILED):
        raise Conflict("The printer itself says how far this is.", printing=ident)
    stage = Stage.PRINTED if given.came_out else Stage.FAILED
    _note(service, db, row, stage, words=given.words or "as seen at the printer")
    return one_printing(service, db, ident)


# The worker ---------------------------------------------------------------------------------------


def go_round(service: Service) -> int:
    """One step for each printing whose time has come; answers how many."""
    with service.database.reading() as db:
        due = store.due(db, service.site, at=service.stamp())
    for row in due:
        _step(service, row)
    return len(due)


def _step(service: Service, row: Row) -> None:
    with service.database.reading() as db:
        kept = store.printer(db, service.site, row["printer"])
    if kept is None:
        raise RuntimeError(f"printing {row['id']} has no printer")
    printer = Printer(kept["address"])
    try:
        match next_step(Stage(row["stage"])):
            case Next.CREATE:
                _create(service, row, printer, media=kept["media"])
            case Next.LOOK_FOR_IT:
                _look_for_it(service, row, printer)
            case Next.SEND:
                _send(service, row, printer)
            case Next.ASK_AFTER_IT:
                _ask_after_it(service, row, printer)
            case Next.NOTHING:
                return
    except Declined as declined:
        _noted(service, row["id"], Stage.FAILED, words=str(declined))
    except NoSuchJob:
        _heard(service, row["id"], Heard.NOT_THERE)
    except (Unreachable, Busy) as later:
        _try_later(service, row["id"], str(later))


def _create(service: Service, row: Row, printer: Printer, *, media: str) -> None:
    if not _noted(service, row["id"], Stage.BEGUN):
        return
    printer.validate(name=row["name"], format=row["format"], media=media)
    made = printer.create(name=row["name"], media=media)
    _noted(service, row["id"], Stage.NUMBERED, printer_job=made.number)


def _look_for_it(service: Service, row: Row, printer: Printer) -> None:
    """The printer was asked for a job, and the answer was lost: it has one, or it has none."""
    known = printer.jobs_named(row["name"])
    if known:
        _noted(service, row["id"], Stage.NUMBERED, printer_job=known[-1].number)
    else:
        _noted(service, row["id"], Stage.WAITING)


def _send(service: Service, row: Row, printer: Printer) -> None:
    with service.database.reading() as db:
        document = store.document(db, service.site, row["id"])
    _our_job(printer, row)
    if not _noted(service, row["id"], Stage.SENDING):
        return
    try:
        sent = printer.send(row["printer_job"], document, format=row["format"])
    except Declined:
        printer.cancel(row["printer_job"])
        raise
    _noted(service, row["id"], Stage.AT_PRINTER, words=_reasons(sent), tries=0, wait_s=FIRST_LOOK_S)


def _ask_after_it(service: Service, row: Row, printer: Printer) -> None:
    found = _our_job(printer, row)
    reasons = _reasons(found)
    if not found.state.ended:
        reasons = "; ".join(filter(None, (reasons, *printer.facts().trouble)))
    _heard(service, row["id"], _what_it_says(found), reasons)


def _our_job(printer: Printer, row: Row) -> JobFacts:
    """The job as the printer has it; a printer switched off and on may count from one again."""
    found = printer.job(row["printer_job"])
    if found.name != row["name"]:
        raise NoSuchJob("The printer has another job under this number.")
    return found


def _what_it_says(found: JobFacts) -> Heard:
    if found.state is JobState.PRINTED:
        return Heard.PRINTED
    if found.state.ended:
        return Heard.STOPPED
    return Heard.WAITS_FOR_DOCUMENT if found.waits_for_its_document else Heard.UNDER_WAY


def _reasons(found: JobFacts) -> str:
    said = [one for one in found.reasons if one not in ("none", "")]
    return "; ".join((found.state.value, *map(reason_words, said)))


def _heard(service: Service, ident: str, heard: Heard, reasons: str = "") -> None:
    with service.database.writing() as db:
        row = printing_row(service, db, ident)
        turn = after(Stage(row["stage"]), heard, reasons)
        _note(service, db, row, turn.stage, words=turn.words, wait_s=ROUND_S)


def _try_later(service: Service, ident: str, words: str) -> None:
    """Not now: again after a pause, doubled each time; what is at the printer is asked for ever."""
    with service.database.writing() as db:
        row = printing_row(service, db, ident)
        tries = row["tries"] + 1
        stage = Stage(row["stage"])
        if tries > MOST_TRIES and stage not in (Stage.SENDING, Stage.AT_PRINTER):
            said = f"Given up after {MOST_TRIES} tries: {words} Print it again when it is back."
            _note(service, db, row, Stage.FAILED, words=said)
            return
        _note(service, db, row, stage, words=words, tries=tries, wait_s=pause_s(tries))


def _noted(
    service: Service,
    ident: str,
    stage: Stage,
    *,
    printer_job: int | None = None,
    words: str = "",
    tries: int | None = None,
    wait_s: float = 0,
) -> bool:
    """Note the stage; false when a person cancelled it meanwhile."""
    with service.database.writing() as db:
        row = printing_row(service, db, ident)
        if Stage(row["stage"]).ended:
            return False
        _note(
            service, db, row, stage, printer_job=printer_job, words=words, tries=tries,
            wait_s=wait_s,
        )  # fmt: skip
        return True


def _note(
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


class Worker:
    """Goes round the printers in a thread of its own until it is stopped."""

    def __init__(self, service: Service) -> None:
        self._service = service
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, name="printing", daemon=True)

    def start(self) -> None:
        """Begin."""
        self._thread.start()

    def stop(self) -> None:
        """End after the step under way."""
        self._stop.set()
        self._thread.join(timeout=15)

    def _run(self) -> None:
        while not self._stop.is_set():
            busy = 0
            try:
                busy = go_round(self._service)
            except (sqlite3.Error, PrinterFault, RuntimeError):
                LOG.exception("printing stopped for a moment and goes on")
            self._stop.wait(0.05 if busy else ROUND_S)
