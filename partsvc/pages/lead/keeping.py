"""Keeping what is recorded: safety copies, the check of the whole database, how the service is."""

from __future__ import annotations

from datetime import datetime

from babel.dates import format_timedelta
from flask import Response, send_file
from werkzeug.wrappers import Response as AnyResponse

from partsvc.pages import words
from partsvc.pages.lead.forms import Form, done
from partsvc.pages.lead.who import LEAD
from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom
from partsvc.web.running import running, service
from partsvc.work import safety_copies, upkeep
from partsvc.work.safety_copies import SafetyCopy
from partsvc.work.service_standing import service_standing
from partsvc.work.upkeep import Health

room = PageRoom("lead-keeping", __name__)


@room.page("/lead/keeping", roles=LEAD)
def keeping() -> Response:
    """Safety copies, and how the service stands."""
    return _page(Form())


@room.page("/lead/keeping/copies", roles=LEAD, methods=("POST",))
def make_copy() -> AnyResponse:
    """Make a safety copy now."""
    form = Form()
    with form.judged():
        safety_copies.make_copy(service())
        return done("/lead/keeping")
    return _page(form)


@room.page("/lead/keeping/copies/<name>", roles=LEAD)
def give_copy(name: str) -> Response:
    """A safety copy to keep elsewhere."""
    path = safety_copies.copy_path(service(), name)
    answer = send_file(path, mimetype="application/vnd.sqlite3", as_attachment=True)
    answer.headers["Cache-Control"] = "no-store"
    return answer


@room.page("/lead/keeping/check", roles=LEAD, methods=("POST",))
def check() -> Response:
    """Hold everything in the database against the acts' own texts."""
    return _page(Form(), checked=upkeep.check(service()))


def _page(form: Form, checked: Health | None = None) -> Response:
    found = safety_copies.copies(service())
    return shown(
        "lead_keeping.html",
        form=form,
        copies=[(one, _age(one)) for one in found.copies],
        folder=found.folder,
        overdue=found.overdue,
        standing=service_standing(service()),
        listeners=running().listeners,
        checked=checked,
        status=form.status,
    )


def _age(copy: SafetyCopy) -> str:
    past = service().now() - datetime.fromisoformat(copy.made_at)
    language = words.language()
    return format_timedelta(past, locale="en_GB" if language == "en" else language)
