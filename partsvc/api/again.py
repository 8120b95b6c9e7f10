"""The Idempotency-Key header: a POST sent twice does its work once and answers alike.

The value is a structured-field string, in double quotes, as in
draft-ietf-httpapi-idempotency-key-header. Acts carry their key in their body instead.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import wraps
from typing import Any
from urllib.parse import quote

from flask import Response, jsonify, request

from partsvc.api.schemas_from_records import answer_schema_of
from partsvc.domain.records import Plain, encode
from partsvc.errors import Malformed
from partsvc.web.running import sender, service
from partsvc.work.answers import Writing, once
from partsvc.work.posting import Answer

_STRING = re.compile(r'"((?:[\x20\x21\x23-\x5b\x5d-\x7e]|\\["\\])*)"')
_MOST = 200
# A password must not be guessable from what is kept to tell requests apart.
_SECRET = ("password",)

KEY_PARAMETER = {
    "name": "Idempotency-Key",
    "in": "header",
    "required": False,
    "description": "Made by the sender, in double quotes; sending again with the same key and "
    "content does nothing twice and gets the same answer. Kept for ever.",
    "schema": {
        "type": "string",
        "minLength": 3,
        "maxLength": _MOST,
        "pattern": r'^"[A-Za-z0-9._:-]+"$',
    },
}
REPLAY_HEADER = {
    "description": "`true` when this is the answer to a request that was carried out before.",
    "schema": {"type": "string", "enum": ["true"]},
}


def idempotency_key() -> str:
    """The key of this request, empty if it has none; Malformed if it is not in quotes."""
    sent = request.headers.get("Idempotency-Key")
    if sent is None:
        return ""
    found = _STRING.fullmatch(sent.strip())
    if found is None or not 0 < len(found[1]) <= _MOST:
        raise Malformed(
            "Put the Idempotency-Key in double quotes, once, with 1 to 200 plain characters: "
            'Idempotency-Key: "8e03978e-40d5-43dd-bc93-6894a57f9324"',
            field="Idempotency-Key",
        )
    return re.sub(r"\\(.)", r"\1", found[1])


def answer_once(
    view: Callable[..., Any], *, gives: type, status: int, location: str
) -> Callable[..., Response]:
    """The view's work in one transaction, its answer kept with it when the request has a key."""
    schema = answer_schema_of(gives)()

    @wraps(view)
    def answered(*args: Any, given: object = None, **named: Any) -> Response:
        if given is not None:
            named["given"] = given

        def work(db: Writing) -> Answer:
            made = view(*args, db=db, **named)
            result, given_status = made if isinstance(made, tuple) else (made, status)
            return Answer(given_status, schema.dump(result))

        answer = once(
            service(),
            work,
            person=sender().person,
            key=idempotency_key(),
            content=_content(given),
        )
        return respond(answer, location)

    return answered


def _content(given: object) -> dict[str, Plain]:
    body = encode(given) if given is not None else {}
    kept = {k: v for k, v in body.items() if k not in _SECRET} if isinstance(body, dict) else body
    return {"method": request.method, "address": request.path, "body": kept}


def respond(answer: Answer, location: str = "") -> Response:
    """The response to an answer; what was given before says so in a header."""
    response = jsonify(answer.body)
    response.status_code = answer.status
    if location:
        response.headers["Location"] = location.format_map(_quoted(answer.body))
    if answer.again:
        response.headers["Idempotent-Replay"] = "true"
    return response


def _quoted(body: Mapping[str, Plain]) -> dict[str, Any]:
    """The texts of an answer as they may stand in an address."""
    return {
        name: quote(value, safe="")
        if isinstance(value, str)
        else _quoted(value)
        if isinstance(value, dict)
        else value
        for name, value in body.items()
    }
