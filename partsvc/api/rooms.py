"""All addresses of the API, subject by subject, in the order of the document."""

from __future__ import annotations

from flask import Flask

from partsvc.api import (
    acts,
    bags,
    custody,
    elsewhere,
    endings,
    equipment,
    health,
    jobs,
    ledger,
    order_lines,
    parts,
    parts_desk,
    people,
    photos,
    printing,
    procedures,
    saving,
    session,
    settings,
    stocks,
    tags,
    vehicle_records,
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
    endings.room,
    custody.room,
    order_lines.room,
    parts_desk.room,
    elsewhere.room,
    ledger.room,
    tags.room,
    bags.room,
    printing.room,
    stocks.room,
    photos.room,
    parts.room,
    procedures.room,
    saving.room,
    vehicles.room,
    vehicle_records.room,
    people.room,
    settings.room,
    equipment.room,
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
