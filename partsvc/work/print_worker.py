"""Carries what waits to the printers: each step is noted before it is taken.

One worker goes round the printers. It can be killed at any moment: what it had noted tells the
next one what to ask the printer, and nothing is ever sent twice on a guess.
"""

from __future__ import annotations

import logging
import threading

from partsvc.domain.printing import MOST_TRIES, Heard, Next, Stage, after, next_step, pause_s
from partsvc.ipp.printer import (
    Busy,
    Declined,
    JobFacts,
    JobState,
    NoSuchJob,
    Printer,
    Unreachable,
    reason_words,
)
from partsvc.store import printing as store
from partsvc.store.database import Row
from partsvc.work.printing import note, printing_row
from partsvc.work.service import Service

LOG = logging.getLogger("partsvc.printing")
ROUND_S = 1.0
FIRST_LOOK_S = 0.3


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
        note(service, db, row, turn.stage, words=turn.words, wait_s=ROUND_S)


def _try_later(service: Service, ident: str, words: str) -> None:
    """Not now: again after a pause, doubled each time; what is at the printer is asked for ever."""
    with service.database.writing() as db:
        row = printing_row(service, db, ident)
        tries = row["tries"] + 1
        stage = Stage(row["stage"])
        if tries > MOST_TRIES and stage not in (Stage.SENDING, Stage.AT_PRINTER):
            said = f"Given up after {MOST_TRIES} tries: {words} Print it again when it is back."
            note(service, db, row, Stage.FAILED, words=said)
            return
        note(service, db, row, stage, words=words, tries=tries, wait_s=pause_s(tries))


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
        note(
            service, db, row, stage, printer_job=printer_job, words=words, tries=tries,
            wait_s=wait_s,
        )  # fmt: skip
        return True


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
            except Exception:
                # Whatever it is, the other printers and the next minute must not pay for it.
                LOG.exception("printing stopped for a moment and goes on")
            self._stop.wait(0.05 if busy else ROUND_S)
