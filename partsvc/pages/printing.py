"""The print page of a job: tags by printer or as PDF, papers, what waits, how the printers are."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Sequence

from flask import Response, request
from werkzeug.wrappers import Response as AnyResponse

from partsvc.domain.acts.codes import read_code
from partsvc.domain.desk import shown_bag
from partsvc.errors import Invalid, PartsvcError
from partsvc.pages.filled_in import carried_out, filled_in
from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom
from partsvc.web.running import sender, service
from partsvc.work import jobs, printers, printing, stocks, tagging
from partsvc.work.naming import names
from partsvc.work.printers import PrinterShown
from partsvc.work.printing import Outcome, PrintingsWanted, PrintWanted
from partsvc.work.tagging import USUAL_STOCK, NewTags

room = PageRoom("print", __name__)

#: The printer that this device printed on last: it stands next to where people work with it.
PRINTER = "partsvc-printer"
_A_YEAR = 365 * 24 * 3600
_LATELY = 30
_MOST_BLANK = 200


def usual_printer() -> PrinterShown | None:
    """The printer that this device prints on: the last one, or the only one there is."""
    found = printers.all_printers(service()).printers
    last = request.cookies.get(PRINTER, "")
    only = found[0] if len(found) == 1 else None
    return next((one for one in found if one.id == last), only)


@room.page("/print/<job>")
def of_job(job: str) -> Response:
    """What can be printed for a job, and what waits to be printed."""
    return _page(job)


def _page(job: str, *, fault: str = "", status: int = 200) -> Response:
    standing = jobs.standing(service(), job)
    return shown(
        "print_job.html",
        job=standing,
        tags=tagging.tags_of_job(service(), job).tags,
        chosen=_chosen(),
        stocks=[one for one in stocks.all_stocks().stocks if not one.pockets],
        usual_stock=USUAL_STOCK,
        printers=printers.all_printers(service()).printers,
        usual=usual_printer(),
        printings=printing.printings(service(), PrintingsWanted(limit=_LATELY)).printings,
        names=names(service()),
        shown_bag=shown_bag,
        fault=fault,
        typed=request.form,
        status=status,
    )


def _chosen() -> list[str]:
    """The tags that somebody came here to print, as they are printed."""
    sent = request.form.getlist("codes") if request.method == "POST" else _codes_asked()
    found = []
    for text in sent:
        try:
            found.append(shown_bag(read_code(text)))
        except PartsvcError:
            continue
    return list(dict.fromkeys(found))


def _codes_asked() -> list[str]:
    """The codes in the address: one each, or several with commas between."""
    texts = ",".join(request.args.getlist("codes")).split(",")
    return [text for text in texts if text.strip()]


@room.page("/print/<job>/tags.pdf")
def tags_as_pdf(job: str) -> Response:
    """Tags on sheets of labels, to be printed from the browser."""
    stock = request.args.get("stock", USUAL_STOCK)
    start = request.args.get("start_at", "1")
    if not start.isdigit() or not int(start):
        raise Invalid("The first free label is a whole number from 1 on.", field="start_at")
    if request.args.get("which") == "all":
        sheet = tagging.sheet_of_job(service(), job, stock=stock, start_at=int(start))
    else:
        sheet = tagging.sheet_of_tags(
            service(), _some(_codes_asked()), stock=stock, start_at=int(start)
        )
    return _pdf(sheet, "tags.pdf")


def _some(codes: Sequence[str]) -> Sequence[str]:
    if not codes:
        raise Invalid("Tick the tags that are to be printed.", field="codes")
    return codes


@room.page("/print/<job>/scale.pdf")
def scale(job: str) -> Response:
    """A page to try a stock with, before labels are spoilt."""
    jobs.standing(service(), job)
    stock = request.args.get("stock", USUAL_STOCK)
    return _pdf(stocks.scale_page_of(stock), f"scale-{stock}.pdf")


def _pdf(content: bytes, name: str) -> Response:
    answer = Response(content, content_type="application/pdf")
    answer.headers["Content-Disposition"] = f'inline; filename="{name}"'
    answer.headers["Cache-Control"] = "no-store"
    return answer


@room.page("/print/<job>", methods=("POST",))
def queue(job: str) -> AnyResponse:
    """Tags are put into a printer's queue."""

    def work(db: sqlite3.Connection) -> str:
        wanted = _wanted(job)
        printing.ask(service(), db, sender(), wanted)
        return f"/print/{job}#printings"

    answer = carried_out(work, lambda **told: _page(job, **told))
    if answer.status_code == 303:
        answer.set_cookie(
            PRINTER,
            request.form.get("printer", ""),
            max_age=_A_YEAR,
            httponly=True,
            samesite="Lax",
            secure=request.is_secure,
        )
    return answer


def _wanted(job: str) -> PrintWanted:
    if not request.form.get("printer"):
        raise Invalid("Choose a printer, or take the PDF.", field="printer")
    given = filled_in(PrintWanted, whole=("start_at",), many=("codes",))
    if request.form.get("which") == "all":
        return PrintWanted(printer=given.printer, job=job, start_at=given.start_at)
    return PrintWanted(
        printer=given.printer, codes=tuple(_some(given.codes)), start_at=given.start_at
    )


@room.page("/print/<job>/mint", methods=("POST",))
def mint(job: str) -> AnyResponse:
    """New tags: one for each position that goes into a bag, or so many blank ones."""

    def work(db: sqlite3.Connection) -> str:
        if request.form.get("for") == "positions":
            tagging.mint(service(), db, NewTags(job=job))
            return f"/print/{job}"
        wanted = filled_in(NewTags, whole=("count",))
        if wanted.count is None or wanted.count > _MOST_BLANK:
            raise Invalid(f"Say how many blank tags: 1 to {_MOST_BLANK}.", field="count")
        made = tagging.mint(service(), db, wanted).tags
        return f"/print/{job}?codes={','.join(one.code for one in made)}"

    return carried_out(work, lambda **told: _page(job, **told))


@room.page("/print/<job>/printings/<ident>/again", methods=("POST",))
def again(job: str, ident: str) -> AnyResponse:
    """The same once more, because somebody asks for it."""
    return _on_the_list(job, lambda db: printing.print_again(service(), db, sender(), ident))


@room.page("/print/<job>/printings/<ident>/cancel", methods=("POST",))
def cancel(job: str, ident: str) -> AnyResponse:
    """What has not gone out yet is not printed."""
    return _on_the_list(job, lambda db: printing.cancel(service(), db, ident))


@room.page("/print/<job>/printings/<ident>/seen", methods=("POST",))
def seen(job: str, ident: str) -> AnyResponse:
    """Somebody looked at the printer, where it could not tell itself."""
    outcome = Outcome(came_out=request.form.get("came_out") == "yes")
    return _on_the_list(job, lambda db: printing.settle(service(), db, ident, outcome))


def _on_the_list(job: str, deed: Callable[[sqlite3.Connection], object]) -> AnyResponse:
    def work(db: sqlite3.Connection) -> str:
        deed(db)
        return f"/print/{job}#printings"

    return carried_out(work, lambda **told: _page(job, **told))


@room.page("/print/now/<printer>")
def now(printer: str) -> Response:
    """How a printer is at this moment, as a piece of the page: it may take a while to say."""
    return shown("print_now.html", now_=printers.printer_now(service(), printer))
