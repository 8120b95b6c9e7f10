"""Addresses of printers and of what is printed on them."""

from __future__ import annotations

from partsvc.api.paging import LINK_HEADER, next_page
from partsvc.api.room import Room
from partsvc.domain.acts.kinds import ALL, Role
from partsvc.web.running import sender, service
from partsvc.work import printers
from partsvc.work import printing as _printing
from partsvc.work.answers import Writing
from partsvc.work.printers import PrinterGiven, PrinterNow, Printers, PrinterShown
from partsvc.work.printing import (
    Outcome,
    PrintingShown,
    PrintingsMade,
    PrintingsWanted,
    PrintWanted,
)

room = Room("printing", __name__, description="Printers, and the tags printed on them.")

LEAD = frozenset({Role.LEAD})


@room.at("GET", "/printers", roles=ALL, gives=Printers)
def get_printers() -> Printers:
    """List the printers"""
    return printers.all_printers(service())


@room.at("POST", "/printers", roles=LEAD, takes=PrinterGiven, gives=PrinterShown, status=201,
         writes=True, location="/api/v1/printers/{id}")  # fmt: skip
def post_printer(*, db: Writing, given: PrinterGiven) -> PrinterShown:
    """Put up a printer"""
    return printers.add_printer(service(), db, given)


@room.at("GET", "/printers/<printer>", roles=ALL, gives=PrinterShown, etag=True)
def get_printer(printer: str) -> PrinterShown:
    """Look at a printer's settings"""
    return printers.one_printer(service(), printer)


@room.at("PUT", "/printers/<printer>", roles=LEAD, takes=PrinterGiven, gives=PrinterShown,
         writes=True, etag=True)  # fmt: skip
def put_printer(printer: str, *, db: Writing, given: PrinterGiven) -> PrinterShown:
    """Change a printer's settings"""
    room.same(printers.one_printer(service(), printer))
    return printers.put_printer(service(), db, printer, given)


@room.at("POST", "/printers/<printer>/retire", roles=LEAD, gives=PrinterShown, writes=True)
def post_retire(printer: str, *, db: Writing) -> PrinterShown:
    """Take a printer away

    What was printed on it stays on record.
    """
    return printers.retire_printer(service(), db, printer)


@room.at("GET", "/printers/<printer>/now", roles=ALL, gives=PrinterNow)
def get_printer_now(printer: str) -> PrinterNow:
    """Ask a printer how it is

    Out of paper, away, or ready; and whether it takes what it would be sent.
    """
    return printers.printer_now(service(), printer)


@room.at("POST", "/printings", roles=ALL, takes=PrintWanted, gives=PrintingsMade, status=201,
         writes=True, problems=[404])  # fmt: skip
def post_printing(*, db: Writing, given: PrintWanted) -> PrintingsMade:
    """Print tags

    They wait in a queue that survives a restart, and are printed once each.
    """
    return _printing.ask(service(), db, sender(), given)


@room.at("GET", "/printings", roles=ALL, asks=PrintingsWanted, gives=PrintingsMade,
         headers=LINK_HEADER)  # fmt: skip
def get_printings(*, asked: PrintingsWanted) -> tuple[PrintingsMade, dict[str, str]]:
    """List what was printed and what waits, newest first"""
    page = _printing.printings(service(), asked)
    full = len(page.printings) == asked.limit
    return page, next_page("cursor", page.printings[-1].number if full else None)


@room.at("GET", "/printings/<printing>", roles=ALL, gives=PrintingShown)
def get_printing(printing: str) -> PrintingShown:
    """See how far a printing is"""
    return _printing.look(service(), printing)


@room.at("POST", "/printings/<printing>/again", roles=ALL, gives=PrintingShown, status=201,
         writes=True)  # fmt: skip
def post_again(printing: str, *, db: Writing) -> PrintingShown:
    """Print it once more, because somebody asks for it"""
    return _printing.print_again(service(), db, sender(), printing)


@room.at("POST", "/printings/<printing>/cancel", roles=ALL, gives=PrintingShown, writes=True)
def post_cancel(printing: str, *, db: Writing) -> PrintingShown:
    """Do not print what has not gone to the printer yet"""
    return _printing.cancel(service(), db, printing)


@room.at("POST", "/printings/<printing>/seen", roles=ALL, takes=Outcome, gives=PrintingShown,
         writes=True)  # fmt: skip
def post_seen(printing: str, *, db: Writing, given: Outcome) -> PrintingShown:
    """Say what came out, where the printer cannot tell"""
    return _printing.settle(service(), db, printing, given)
