"""Printers and label stocks: put up, looked at, tried, changed, taken away; what waits for them."""

from __future__ import annotations

from flask import Response
from werkzeug.wrappers import Response as AnyResponse

from partsvc.errors import NotFound
from partsvc.pages.lead.forms import Form, Values, done
from partsvc.pages.lead.who import LEAD
from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom
from partsvc.web.running import sender, service
from partsvc.work import printers, printing, stocks
from partsvc.work.printers import Format, PrinterGiven, PrinterNow, PrinterShown
from partsvc.work.printing import Outcome, PrintingsWanted
from partsvc.work.tagging import USUAL_STOCK

room = PageRoom("lead-printers", __name__)


@room.page("/lead/printers", roles=LEAD)
def all_printers() -> Response:
    """The printers, what is printed or waits, and the label stocks."""
    return _printers_page(Form())


@room.page("/lead/printers/new", roles=LEAD, methods=("GET", "POST"))
def new_printer() -> AnyResponse:
    """Put a printer up."""
    form = Form(now={"stock": USUAL_STOCK, "format": Format.PDF})
    if form.sent:
        with form.judged():
            given = form.read(PrinterGiven)
            with service().database.writing() as db:
                made = printers.add_printer(service(), db, given)
            return done(f"/lead/printers/{made.id}")
    return _printer_page(form, None)


@room.page("/lead/printers/<printer>", roles=LEAD, methods=("GET", "POST"))
def one_printer(printer: str) -> AnyResponse:
    """A printer's settings."""
    found = printers.one_printer(service(), printer)
    form = Form(now=_typed(found))
    if form.sent:
        with form.judged():
            given = form.read(PrinterGiven)
            with service().database.writing() as db:
                form.same(_typed(printers.one_printer(service(), printer)))
                printers.put_printer(service(), db, printer, given)
            return done(f"/lead/printers/{printer}")
    return _printer_page(form, found)


@room.page("/lead/printers/<printer>/now", roles=LEAD)
def printer_now(printer: str) -> Response:
    """What the printer says of itself at this moment."""
    found = printers.one_printer(service(), printer)
    return _printer_page(Form(now=_typed(found)), found, printers.printer_now(service(), printer))


@room.page("/lead/printers/<printer>/try", roles=LEAD, methods=("POST",))
def try_printer(printer: str) -> AnyResponse:
    """Print the scale page."""
    found = printers.one_printer(service(), printer)
    form = Form()
    with form.judged():
        with service().database.writing() as db:
            printing.ask_scale_page(service(), db, sender(), printer)
        return done("/lead/printers")
    kept = Form(now=_typed(found), sent=False, others=form.others, status=form.status)
    return _printer_page(kept, found)


@room.page("/lead/printers/<printer>/retire", roles=LEAD, methods=("POST",))
def retire(printer: str) -> AnyResponse:
    """Take a printer away."""
    with service().database.writing() as db:
        printers.retire_printer(service(), db, printer)
    return done("/lead/printers")


@room.page("/lead/printings/<printing_id>/<what>", roles=LEAD, methods=("POST",))
def settle(printing_id: str, what: str) -> AnyResponse:
    """Print once more, leave it, or say what came out."""
    form = Form()
    with form.judged():
        with service().database.writing() as db:
            match what:
                case "again":
                    printing.print_again(service(), db, sender(), printing_id)
                case "cancel":
                    printing.cancel(service(), db, printing_id)
                case "came-out" | "did-not":
                    seen = Outcome(came_out=what == "came-out")
                    printing.settle(service(), db, printing_id, seen)
                case _:
                    raise NotFound("There is nothing at this address.")
        return done("/lead/printers")
    return _printers_page(form)


def _typed(found: PrinterShown) -> Values:
    return {
        "name": found.name,
        "address": found.address,
        "stock": found.stock,
        "format": found.format,
        "media": found.media,
    }


def _printers_page(form: Form) -> Response:
    listed = printers.all_printers(service()).printers
    return shown(
        "lead_printers.html",
        form=form,
        printers=listed,
        names={one.id: one.name for one in listed},
        printings=printing.printings(service(), PrintingsWanted(limit=30)).printings,
        stocks=stocks.all_stocks().stocks,
        status=form.status,
    )


def _printer_page(
    form: Form, found: PrinterShown | None, now: PrinterNow | None = None
) -> Response:
    return shown(
        "lead_printer.html",
        form=form,
        one=found,
        now_says=now,
        stocks=[(stock.key, stock.name) for stock in stocks.all_stocks().stocks],
        status=form.status,
    )
