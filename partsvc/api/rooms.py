"""All addresses of the API, subject by subject, in the order of the document."""

from __future__ import annotations

from flask import Flask

from partsvc.api import (
    acts,
    health,
    jobs,
    ledger,
    parts,
    people,
    photos,
    printing,
    procedures,
    saving,
    session,
    tags,
    vehicles,
    views,
)
from partsvc.api.docs_page import mount_docs
from partsvc.api.document import BASE, PartsApi, make_api
from partsvc.api.problems import answer_error
from partsvc.errors import PartsvcError

ROOMS = (
    session.room,
    jobs.room,
    acts.room,
    views.room,
    ledger.room,
    tags.room,
    printing.room,
    photos.room,
    parts.room,
    procedures.room,
    saving.room,
    vehicles.room,
    people.room,
    health.room,
)


def mount(app: Flask) -> PartsApi:
    """Put the API on an application."""
    app.json.sort_keys = False  # type: ignore[attr-defined]
    app.json.ensure_ascii = False  # type: ignore[attr-defined]
    api = make_api(app)
    app.register_error_handler(PartsvcError, answer_error)
    for room in ROOMS:
        api.register_blueprint(room, url_prefix=BASE)
    mount_docs(app)
    return api
