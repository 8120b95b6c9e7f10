"""Builds the application: a service and its settings in, a Flask application out."""

from __future__ import annotations

from flask import Flask, request
from werkzeug.exceptions import HTTPException
from werkzeug.wrappers import Response

from partsvc.api.problems import answer_http
from partsvc.api.rooms import mount
from partsvc.config import Settings
from partsvc.pages.mount import is_a_page
from partsvc.pages.mount import mount as mount_pages
from partsvc.pages.room import problem_page_of_http
from partsvc.web.running import run
from partsvc.work.service import Service, open_service


def create_app(service: Service, settings: Settings) -> Flask:
    """The application over a service; nothing is shared between two of them."""
    app = Flask("partsvc", static_folder=None, template_folder="pages/templates")
    app.config["MAX_CONTENT_LENGTH"] = settings.photo_bytes
    run(app, service, settings)
    mount(app)
    mount_pages(app)
    app.register_error_handler(HTTPException, _refused)
    return app


def _refused(error: HTTPException) -> Response:
    """What Flask itself refuses: a page for people, a problem document for programs."""
    return problem_page_of_http(error) if is_a_page(request.path) else answer_http(error)


def open_app(settings: Settings) -> Flask:
    """Open the folder's service and build the application over it."""
    service = open_service(
        settings.folder,
        name=settings.name,
        zone=settings.zone,
        public_address=settings.public_address,
    )
    return create_app(service, settings)
