"""Builds the application: a service and its settings in, a Flask application out."""

from __future__ import annotations

from flask import Flask

from partsvc.api.rooms import mount
from partsvc.api.running import run
from partsvc.config import Settings
from partsvc.work.service import Service, open_service


def create_app(service: Service, settings: Settings) -> Flask:
    """The application over a service; nothing is shared between two of them."""
    app = Flask("partsvc", static_folder=None)
    app.config["MAX_CONTENT_LENGTH"] = settings.photo_bytes
    run(app, service, settings)
    mount(app)
    return app


def open_app(settings: Settings) -> Flask:
    """Open the folder's service and build the application over it."""
    service = open_service(
        settings.folder,
        name=settings.name,
        zone=settings.zone,
        public_address=settings.public_address,
    )
    return create_app(service, settings)
