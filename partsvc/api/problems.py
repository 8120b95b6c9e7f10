"""Every error leaves the service in one shape: a problem document (RFC 9457).

`detail` says what to do next; further members name the field, bag, position or step. One table
maps our errors to statuses, and a test walks all error classes against it.
"""

from __future__ import annotations

import json
from collections.abc import Mapping

from flask import Response, request
from werkzeug.exceptions import HTTPException
from werkzeug.http import HTTP_STATUS_CODES

from partsvc import errors
from partsvc.errors import PartsvcError, Refused

MEDIA_TYPE = "application/problem+json"
TYPE_PREFIX = "/api/v1/problems/"

STATUS: tuple[tuple[type[PartsvcError], int], ...] = (
    (errors.Malformed, 400),
    (errors.NotSignedIn, 401),
    (errors.NotAllowed, 403),
    (errors.NotFound, 404),
    (errors.Conflict, 409),
    (errors.InProgress, 409),
    (errors.Refused, 409),
    (errors.Stale, 412),
    (errors.BadFile, 422),
    (errors.Invalid, 422),
    (errors.KeyReused, 422),
    (errors.Mistyped, 422),
    (errors.Busy, 503),
)
_STATUS_OF = dict(STATUS)

# What goes wrong before any of our own code is asked: code, title, what to do next.
_HTTP: Mapping[int, tuple[str, str, str]] = {
    400: ("malformed", "The request cannot be read", "Send the request again as documented."),
    404: ("not-found", "Not found", "There is nothing at this address; see /api/v1/docs."),
    405: (
        "method-not-allowed",
        "This address does not take that method",
        "Use one of the methods in the Allow header.",
    ),
    412: (
        "stale",
        "It has changed since you looked",
        "Fetch it again, look at what changed, and send the change with the new ETag.",
    ),
    413: (
        "too-large",
        "The request is too large",
        "Send less at once: a batch in several parts, a photo in a smaller size.",
    ),
    415: (
        "wrong-media-type",
        "The body is not of a type taken here",
        "Send the body with the Content-Type that is documented for this address.",
    ),
    428: (
        "if-match-missing",
        "Say which version you are changing",
        "Fetch it first and send its ETag in If-Match.",
    ),
    429: (
        "too-many-tries",
        "Too many tries",
        "Wait as long as Retry-After says, then try again.",
    ),
    500: (
        "fault",
        "The service has a fault",
        "Nothing was recorded by this request. Try once more; if it stays, tell the lead.",
    ),
}


def status_of(error: type[PartsvcError]) -> int:
    """The HTTP status of an error class, or of its nearest parent that has one."""
    return next(_STATUS_OF[kind] for kind in error.__mro__ if kind in _STATUS_OF)


def problem(error: PartsvcError) -> dict[str, object]:
    """The problem document of one of our errors."""
    members: dict[str, object] = {name: _plain(value) for name, value in error.members.items()}
    if isinstance(error, Refused):
        members |= _of_a_refusal(error)
    return members | {
        "type": TYPE_PREFIX + error.code,
        "title": error.title,
        "status": status_of(type(error)),
        "detail": error.detail,
        "code": error.code,
    }


def _of_a_refusal(error: Refused) -> dict[str, object]:
    """Which rule it was, and how to record the act all the same if it is already done."""
    members: dict[str, object] = {
        "reason": error.reason,
        "may_be_recorded": error.may_be_recorded,
    }
    if error.may_be_recorded:
        members["already_done"] = (
            "If it is already done, send the same act again with "
            '"already_done": {"reason": "…"}: it is recorded, and stays open as a finding.'
        )
    return members


def _plain(value: object) -> object:
    if isinstance(value, Mapping):
        return dict(value)
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    return value


def answer_error(error: PartsvcError) -> Response:
    """The response to one of our errors."""
    answer = _response(problem(error), status_of(type(error)))
    if answer.status_code == 401:
        answer.headers["WWW-Authenticate"] = "Bearer"
    if answer.status_code == 503:
        answer.headers["Retry-After"] = "1"
    return answer


def answer_http(error: HTTPException) -> Response:
    """The response to what Flask itself refuses, its own headers (Allow, Retry-After) kept."""
    status = error.code or 500
    other = (f"http-{status}", HTTP_STATUS_CODES.get(status, "Error"), "See /api/v1/docs.")
    code, title, detail = _HTTP.get(status, other)
    answer = _response(
        {
            "type": TYPE_PREFIX + code,
            "title": title,
            "status": status,
            "detail": detail,
            "code": code,
        },
        status,
    )
    for name, value in error.get_headers(request.environ):
        if name.lower() not in ("content-type", "content-length"):
            answer.headers[name] = value
    return answer


def _response(body: Mapping[str, object], status: int) -> Response:
    return Response(json.dumps(body, ensure_ascii=False), status=status, mimetype=MEDIA_TYPE)


def known_problems() -> dict[str, tuple[int, str, str]]:
    """Every problem code with its status, title and what it means."""
    of_http = {code: (status, title, detail) for status, (code, title, detail) in _HTTP.items()}
    of_ours = {
        kind.code: (status, kind.title, " ".join((kind.__doc__ or "").split()))
        for kind, status in STATUS
    }
    return of_http | of_ours
