"""Reads what is sent: bytes to strict JSON, parameters to records, every fault by its place."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any, NoReturn

import marshmallow as ma
from flask import Request, request
from webargs.flaskparser import FlaskParser
from werkzeug.exceptions import UnsupportedMediaType

from partsvc.domain.canonical import Json, NotCanonical, parse_strict
from partsvc.errors import Invalid, Malformed
from partsvc.web.running import running

JSON_TYPE = "application/json"


def read_json() -> Json:
    """The body of this request, read so that no two readers could differ on it.

    Malformed for what is no JSON in UTF-8, Invalid (with its place) for JSON that is not taken.
    """
    if request.mimetype != JSON_TYPE:
        raise UnsupportedMediaType
    sent = request.get_data()
    try:
        return parse_strict(sent.decode("utf-8"))
    except UnicodeDecodeError as odd:
        raise Malformed(
            f"The body is not UTF-8 (byte {odd.start}). Send JSON encoded as UTF-8."
        ) from odd
    except NotCanonical as odd:
        if isinstance(odd.__cause__, json.JSONDecodeError | RecursionError):
            raise Malformed(f"The body cannot be read: {odd.reason}.") from odd
        raise Invalid(f"{odd}. Nothing was recorded.", field=odd.path) from odd


def read_object() -> dict[str, Any]:
    """The body of this request, which must be an object."""
    value = read_json()
    if not isinstance(value, Mapping):
        raise Invalid("The body must be a JSON object with named members.", field="$")
    return dict(value)


def limit_body(kind: str) -> None:
    """Bound the size of this request's body: `json`, `document` or `photo`."""
    request.max_content_length = getattr(running().settings, f"{kind}_bytes")


class StrictParser(FlaskParser):
    """Reads parameters and bodies into records; what is unknown is refused, never passed over."""

    DEFAULT_UNKNOWN_BY_LOCATION: dict[str, str | None] = {}  # noqa: RUF012

    def load_json(self, req: Request, schema: ma.Schema) -> Any:
        """The body as strict JSON."""
        return read_object()

    def load_querystring(self, req: Request, schema: ma.Schema) -> Any:
        """The parameters, each at most once."""
        twice = [name for name, values in req.args.lists() if len(values) > 1]
        if twice:
            raise Invalid(f"Give `{twice[0]}` only once.", field=twice[0])
        return req.args.to_dict()

    def handle_error(self, error: ma.ValidationError, *_: Any, **__: Any) -> NoReturn:
        """Every fault of the request in one answer."""
        faults = tuple(_faults(error.messages, ""))
        listed = "; ".join(f"{where or 'request'}: {says}" for where, says in faults)
        raise Invalid(
            f"{listed}.",
            field=faults[0][0] if faults else "",
            faults=tuple({"where": where, "says": says} for where, says in faults),
        ) from error


_LOCATIONS = ("json", "query", "querystring")


def _faults(messages: Any, where: str) -> Iterator[tuple[str, str]]:
    if isinstance(messages, Mapping):
        for name, inner in messages.items():
            yield from _faults(inner, _inside(where, name))
    elif isinstance(messages, list):
        for one in messages:
            yield from _faults(one, where)
    else:
        yield where, _PHRASED.get(str(messages), str(messages))


_PHRASED = {
    "Missing data for required field.": "is missing",
    "Unknown field.": "is not known here",
    "Field may not be null.": "must not be null; leave it out",
    "Invalid input type.": "must be an object with named members",
    "Not a valid list.": "must be a list",
}


def _inside(where: str, name: str | int) -> str:
    if isinstance(name, int):
        return f"{where}[{name + 1}]"
    if name == "_schema" or (not where and name in _LOCATIONS):
        return where
    return f"{where}.{name}" if where else name
