"""All pages, and the files they are made of, put on an application."""

from __future__ import annotations

import gzip

from flask import Flask, Response, request, send_from_directory

from partsvc.pages import (
    bags,
    bench,
    check,
    front,
    live,
    offline,
    parts_desk,
    parts_kits,
    parts_store,
    parts_told,
    pictures,
    printing,
    refit,
    scans,
    tag_page,
)
from partsvc.pages.cookie import CookieDoor
from partsvc.pages.lead import rooms as lead
from partsvc.pages.render import STATIC, digest_of_static, furnish
from partsvc.pages.room import PageRoom

ROOMS: tuple[PageRoom, ...] = (
    front.room,
    live.room,
    scans.room,
    tag_page.room,
    bench.room,
    bags.room,
    refit.room,
    check.room,
    parts_desk.room,
    parts_kits.room,
    parts_store.room,
    parts_told.room,
    printing.room,
    pictures.room,
    offline.room,
    *lead.ROOMS,
)

_YEAR = "public, max-age=31536000, immutable"
_TEXT = ("text/html", "text/css", "text/javascript", "image/svg+xml", "application/json")
_WORTH_PACKING = 1000


def mount(app: Flask) -> None:
    """Put the pages on an application."""
    furnish(app)
    for room in ROOMS:
        app.register_blueprint(room)
    app.add_url_rule("/static/<version>/<path:name>", "static", _static)
    app.add_url_rule("/manifest.webmanifest", "manifest", _manifest)
    app.after_request(_packed)
    app.wsgi_app = CookieDoor(app.wsgi_app)  # type: ignore[method-assign, assignment]


def is_a_page(path: str) -> bool:
    """Whether an address is a person's rather than a program's."""
    return not path.startswith("/api/")


def _static(version: str, name: str) -> Response:
    """A file; its address changes with any of them, so it may be kept for good."""
    answer = send_from_directory(STATIC, name)
    # A page from before an upgrade gets today's file, and does not keep it under the old address.
    answer.headers["Cache-Control"] = _YEAR if version == digest_of_static() else "no-store"
    answer.headers["X-Content-Type-Options"] = "nosniff"
    return answer


def _manifest() -> Response:
    answer = send_from_directory(STATIC, "manifest.webmanifest")
    answer.mimetype = "application/manifest+json"
    return answer


def _packed(answer: Response) -> Response:
    """Text goes packed over a bad line, to a browser that takes it so."""
    if (
        is_a_page(request.path)
        and answer.mimetype in _TEXT
        and request.accept_encodings["gzip"] > 0
        and "Content-Encoding" not in answer.headers
        and answer.status_code == 200
    ):
        answer.direct_passthrough = False
        plain = answer.get_data()
        if len(plain) >= _WORTH_PACKING:
            answer.set_data(gzip.compress(plain, 6, mtime=0))
            answer.headers["Content-Encoding"] = "gzip"
            answer.vary.add("Accept-Encoding")
    return answer
