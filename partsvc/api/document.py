"""The API document (OpenAPI 3.1): made from the running declarations, checked in as a file.

`write_spec` writes the file; a test holds the running service to it.
"""

from __future__ import annotations

from collections.abc import Mapping
from importlib.metadata import version
from pathlib import Path
from typing import Any

import yaml
from flask import Flask, Response, current_app, json
from flask_smorest import Api
from werkzeug.exceptions import HTTPException

from partsvc.api.act_document import register_acts
from partsvc.api.problems import MEDIA_TYPE, answer_http

BASE = "/api/v1"
STATUSES: Mapping[int, str] = {
    400: "The request cannot be read.",
    401: "Nobody is signed in.",
    403: "The role of who is signed in may not do this.",
    404: "It does not exist here.",
    409: "The plan or the book forbids it, the name is taken, or it is still under way.",
    412: "It has changed since you looked.",
    413: "The body is too large.",
    415: "The body is not of a type taken here.",
    422: "Something in the request is not right; `faults` names each place.",
    428: "If-Match is missing.",
    429: "Too many tries; Retry-After says how long to wait.",
    503: "The service cannot write just now; send the same request again.",
}
DESCRIPTION = """\
Keeps account of every screw, clip, connector and cap that comes off a vehicle, until all of it is
back.

What a person did is an *act*, sent to one address with its `kind`. An act is never changed or
deleted; a mistake is undone by a reversing act. Each act carries a `key` made by the sender (a
UUID): sending it again is harmless. What the plan or the book forbids is refused with a reason;
what is already done can always be recorded with `already_done`, and stays open as a finding.

Errors are problem documents (RFC 9457). Quantities are whole numbers; readings are decimal texts
with their unit; text never contains U+0000; a member that is not set is left out, never null.
Lists come in pages, with a `Link` header to the next one.
"""
PROBLEM = {
    "type": "object",
    "required": ["type", "title", "status", "detail", "code"],
    "description": "What went wrong, and what to do next.",
    "properties": {
        "type": {"type": "string", "format": "uri-reference"},
        "title": {"type": "string"},
        "status": {"type": "integer"},
        "detail": {"type": "string", "description": "what to do next"},
        "code": {"type": "string", "description": "stable, for programs"},
        "reason": {"type": "string", "description": "which rule refused, stable"},
        "may_be_recorded": {"type": "boolean"},
        "already_done": {"type": "string", "description": "how to record what is already done"},
        "field": {"type": "string"},
        "faults": {
            "type": "array",
            "items": {
                "type": "object",
                "required": ["where", "says"],
                "properties": {"where": {"type": "string"}, "says": {"type": "string"}},
            },
        },
    },
}


class PartsApi(Api):  # type: ignore[misc]
    """The API of one application, with our errors and our document."""

    DEFAULT_ERROR_RESPONSE_NAME = None

    def handle_http_exception(self, error: HTTPException) -> Response:
        """What Flask itself refuses is a problem document too."""
        return answer_http(error)

    def document(self) -> dict[str, Any]:
        """The whole document as plain data."""
        found: dict[str, Any] = json.loads(json.dumps(self.spec.to_dict()))
        _drop_unused(found)
        return found

    def _openapi_json(self) -> Response:
        return current_app.response_class(
            json.dumps(self.document(), indent=2), mimetype="application/json"
        )


def make_api(app: Flask) -> PartsApi:
    """The API of an application, ready for its rooms."""
    app.config.update(
        API_TITLE="partsvc",
        API_VERSION=version("partsvc"),
        OPENAPI_VERSION="3.1.0",
        OPENAPI_URL_PREFIX=BASE,
        OPENAPI_JSON_PATH="openapi.json",
        API_SPEC_OPTIONS={
            "info": {"description": DESCRIPTION},
            "servers": [{"url": "/"}],
            "security": [{"bearer": []}],
        },
    )
    api = PartsApi(app)
    api.spec.components.security_scheme(
        "bearer", {"type": "http", "scheme": "bearer", "description": "a token of POST /session"}
    )
    api.spec.components.schema("Problem", PROBLEM)
    for status, says in STATUSES.items():
        api.spec.components.response(f"Problem{status}", _problem_response(status, says))
    register_acts(api.spec)
    return api


def _problem_response(status: int, says: str) -> dict[str, Any]:
    response: dict[str, Any] = {
        "description": says,
        "content": {MEDIA_TYPE: {"schema": {"$ref": "#/components/schemas/Problem"}}},
    }
    if status in (429, 503):
        response["headers"] = {
            "Retry-After": {"schema": {"type": "integer"}, "description": "seconds to wait"}
        }
    if status == 401:
        response["headers"] = {"WWW-Authenticate": {"schema": {"type": "string"}}}
    return response


def _drop_unused(document: dict[str, Any]) -> None:
    """Components that nothing refers to say nothing; they are left out, in any order of use."""
    components = document["components"]
    while True:
        text = json.dumps(document)
        unused = [
            (kind, name)
            for kind in ("schemas", "responses", "headers", "parameters")
            for name in components.get(kind, {})
            if f'"#/components/{kind}/{name}"' not in text
        ]
        if not unused:
            return
        for kind, name in unused:
            del components[kind][name]


def document_of(app: Flask) -> dict[str, Any]:
    """The API document of an application."""
    api: PartsApi = app.extensions["flask-smorest"]["apis"][""]["ext_obj"]
    return api.document()


def write_spec(app: Flask, path: Path) -> None:
    """Write the document as YAML, the same bytes for the same declarations."""
    path.write_text(spec_text(app), encoding="utf-8")


def spec_text(app: Flask) -> str:
    """The document as YAML."""
    text: str = yaml.safe_dump(
        document_of(app), sort_keys=False, allow_unicode=True, width=100, indent=2
    )
    return text
