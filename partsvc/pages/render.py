"""Templates to pages: what every template may use, and the headers every page is sent with."""

from __future__ import annotations

import json
from datetime import datetime
from functools import lru_cache
from hashlib import sha256
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from babel.dates import format_date, format_datetime
from flask import Flask, Response, g, make_response, render_template, request

from partsvc.domain.units import Units, length_words, torque_words
from partsvc.pages import words
from partsvc.pages.marks import MARKS, Mark
from partsvc.pages.sentences import said
from partsvc.web.running import service

STATIC = Path(__file__).parent / "static"

# Nothing is fetched from anywhere else, and nothing runs that is not a file of ours.
POLICY = (
    "default-src 'self'; img-src 'self' data: blob:; media-src 'self' blob:; object-src 'none';"
    " base-uri 'none'; frame-ancestors 'none'; form-action 'self'"
)


@lru_cache(maxsize=1)
def digest_of_static() -> str:
    """What changes when any file does: part of their address, so that browsers keep them."""
    found = sha256()
    for path in sorted(STATIC.rglob("*")):
        if path.is_file():
            found.update(path.relative_to(STATIC).as_posix().encode())
            found.update(path.read_bytes())
    return found.hexdigest()[:12]


def furnish(app: Flask) -> None:
    """Give the templates of an application their words, filters and marks."""
    version = digest_of_static()
    env = app.jinja_env
    env.trim_blocks = True
    env.lstrip_blocks = True
    env.add_extension("jinja2.ext.i18n")
    env.install_gettext_callables(  # type: ignore[attr-defined]
        words.gettext, words.ngettext, newstyle=True
    )
    env.globals.update(
        static=f"/static/{version}",
        languages=words.LANGUAGES,
        mark=_mark,
    )
    env.filters.update(
        moment=_moment, clock=_clock, day=_day, torque=_torque, mm=_mm, act=_act, said=said
    )
    app.context_processor(_of_this_page)


def shown(template: str, *, status: int = 200, **values: Any) -> Response:
    """A page."""
    response = make_response(render_template(template, **values), status)
    response.headers["Content-Security-Policy"] = POLICY
    response.headers["Referrer-Policy"] = "same-origin"
    response.headers["X-Content-Type-Options"] = "nosniff"
    # What a page shows is true at one moment only.
    response.headers["Cache-Control"] = "no-store"
    return response


def _of_this_page() -> dict[str, Any]:
    visitor = g.get("visitor")
    return {
        "visitor": visitor,
        "me": visitor.session if visitor else None,
        "may": _may,
        "language": words.language(),
        "path": request.path,
        "now": service().stamp(),
    }


def _may(*roles: str) -> bool:
    """Whether the person is here for any of these."""
    visitor = g.get("visitor")
    return bool(visitor and set(roles) & set(visitor.session.roles))


def _mark(state: str) -> Mark:
    return MARKS[state]


def _units() -> Units:
    visitor = g.get("visitor")
    return visitor.wants.units if visitor else Units.METRIC


def _torque(torque_nm: str) -> str:
    return torque_words(torque_nm, _units())


def _mm(length_mm: int | str) -> str:
    return length_words(length_mm, _units())


def _moment(stamp: str) -> str:
    """A time of a record, by the workshop's clock and in the reader's way of writing it."""
    if not stamp:
        return ""
    at = datetime.fromisoformat(stamp).astimezone(ZoneInfo(service().zone))
    return format_datetime(at, "short", locale=_locale())


def _clock(stamp: str) -> str:
    """The time of day of a record, by the workshop's clock."""
    at = datetime.fromisoformat(stamp).astimezone(ZoneInfo(service().zone))
    return f"{at:%H:%M}"


def _day(day: str) -> str:
    """A day of a record, in the reader's way of writing it."""
    if not day:
        return ""
    return format_date(datetime.fromisoformat(day[:10]), "EEE d MMM", locale=_locale())


def _locale() -> str:
    language = words.language()
    return "en_GB" if language == "en" else language


def _act(value: dict[str, Any]) -> str:
    """An act as a form carries it, members that are empty left out."""
    kept = {name: one for name, one in value.items() if one not in ("", None, [], ())}
    return json.dumps(kept, ensure_ascii=False, separators=(",", ":"))
