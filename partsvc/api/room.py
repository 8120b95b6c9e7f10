"""One way of declaring an address: who may, what it takes, what it answers, what it may refuse.

From one declaration come the route, the sign-in, the reading of parameters and body, the
transaction with its idempotency key, the answer, and the document. What is left of an endpoint
is one call into the work.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import wraps
from typing import Any

from flask import Response, request
from flask_smorest import Blueprint
from werkzeug.exceptions import UnsupportedMediaType

from partsvc.api.access import let_in
from partsvc.api.again import KEY_PARAMETER, answer_once
from partsvc.api.declared import (
    BEARER,
    File,
    NoParameters,
    contents,
    headers_of,
    problem_reference,
    problems_of,
)
from partsvc.api.reading import StrictParser, limit_body
from partsvc.api.schemas_from_records import answer_schema_of, query_schema_of, schema_of
from partsvc.domain.acts.kinds import Role
from partsvc.web.running import service

View = Callable[..., Any]


PHOTO_KINDS = ("image/jpeg", "image/png", "image/webp")
PHOTO_BODY = {
    "required": True,
    "content": {kind: {"schema": {"type": "string", "format": "binary"}} for kind in PHOTO_KINDS},
}


def sent_photo() -> bytes:
    """The body of a request that carries a picture; anything else is told apart by its type."""
    if request.mimetype not in PHOTO_KINDS:
        raise UnsupportedMediaType
    return request.get_data()


class Room(Blueprint):  # type: ignore[misc]
    """The addresses of one subject."""

    ARGUMENTS_PARSER = StrictParser()
    PAGINATION_HEADER_NAME = None

    def at(
        self,
        method: str,
        rule: str,
        *,
        roles: frozenset[Role] | None,
        takes: type | None = None,
        takes_document: bool = False,
        takes_photo: bool = False,
        asks: type = NoParameters,
        gives: type | File | None = None,
        also: File | Sequence[File] = (),
        status: int = 200,
        same_status: int | None = None,
        location: str = "",
        writes: bool = False,
        keyed: bool = True,
        etag: bool = False,
        first: Callable[[Any], None] | None = None,
        problems: Iterable[int] = (),
        headers: Mapping[str, Mapping[str, Any]] | None = None,
    ) -> Callable[[View], View]:
        """Declare one address.

        `roles` may call it, None means everybody without sign-in. The view gets `given` (the body
        as a record of `takes`), `asked` (the parameters as a record of `asks`) and, when it
        `writes`, `db`: the one transaction of the request. A POST that writes honours an
        idempotency key, unless its answer is a secret that must not be kept (`keyed`). `also` are
        the files that are answered instead when the Accept header asks for one; `same_status` says
        that nothing new had to be made. `first` is done with the body before that transaction, in
        one of its own, and must be harmless when done again. `location` is the address of what was
        made, over the answer's members. `takes_photo` leaves the body, a picture, to the view.
        """

        def declared(function: View) -> View:
            view = function
            once = keyed and writes and method == "POST"
            if once:
                view = answer_once(view, gives=_record(gives), status=status, location=location)
            elif writes:
                view = _in_a_transaction(view)
            if first is not None:
                view = _after(view, first)
            view = self._answering(view, gives, status, headers_of(headers, once, location))
            if same_status is not None:
                view = self._answering(view, gives, same_status, {})
            if etag:
                view = self.etag(view)
            if asks is NoParameters:
                view = _without_parameters(view)
            view = self.arguments(query_schema_of(asks), location="query", arg_name="asked")(view)
            if takes is not None:
                view = self.arguments(schema_of(takes), arg_name="given")(view)
            limit = "photo" if takes_photo else "document" if takes_document else "json"
            view = _guarded(view, roles, limit)
            found = {*problems, *problems_of(rule, method, roles, takes=takes, writes=writes)}
            if takes_photo:
                view = self.doc(requestBody=PHOTO_BODY)(view)
                found |= {413, 415, 422}
            if etag and method != "GET":
                found |= {412, 428}
            parameters = [KEY_PARAMETER] if once else []
            view = self.documented(view, found, roles=roles, parameters=parameters)
            files = (also,) if isinstance(also, File) else also
            if files:
                written = {name: one for each in files for name, one in contents(each).items()}
                view = self.doc(responses={status: {"content": written}})(view)
            self.add_url_rule(rule, None, view, methods=[method])
            return function

        return declared

    def _answering(
        self, view: View, gives: type | File | None, status: int, headers: dict[str, Any]
    ) -> View:
        if isinstance(gives, File):
            return self.response(  # type: ignore[no-any-return]
                status,
                gives.content,
                content_type=gives.media_type,
                description=gives.says,
                headers=headers,
            )(view)
        schema = answer_schema_of(gives) if gives else None
        return self.response(status, schema, headers=headers)(view)  # type: ignore[no-any-return]

    def documented(
        self,
        view: View,
        problems: Iterable[int],
        *,
        roles: frozenset[Role] | None,
        parameters: Iterable[Mapping[str, Any]] = (),
        **more: Any,
    ) -> View:
        """Say in the document who may call it and what it may refuse."""
        written: dict[str, Any] = {
            "responses": {one: {"$ref": problem_reference(one)} for one in sorted(set(problems))},
            "security": BEARER if roles is not None else [],
            **more,
        }
        if roles is not None:
            written["x-roles"] = sorted(roles)
        view = self.doc(**written)(view)
        extra = list(parameters)
        if extra:
            described = view._apidoc.setdefault("arguments", {})  # type: ignore[attr-defined]
            described.setdefault("parameters", []).extend(extra)
        return view

    def plain(
        self,
        method: str,
        rule: str,
        problems: Iterable[int],
        *,
        roles: frozenset[Role],
        answers: Mapping[int, Any],
        takes: str = "json",
        **more: Any,
    ) -> Callable[[View], View]:
        """Declare an address that reads its body and writes its answers in its own way."""

        def declared(function: View) -> View:
            view = _without_parameters(function)
            view = self.arguments(
                query_schema_of(NoParameters), location="query", arg_name="asked"
            )(view)
            view = _guarded(view, roles, takes)
            view = self.documented(view, problems, roles=roles, **more)
            manual = view._apidoc["manual_doc"]  # type: ignore[attr-defined]
            manual["responses"] = {**answers, **manual["responses"]}
            self.add_url_rule(rule, None, view, methods=[method])
            return function

        return declared

    def same(self, found: object) -> None:
        """Stop with 412 unless the caller saw what is there now."""
        self.check_etag(found, answer_schema_of(type(found)))


def _record(gives: type | File | None) -> type:
    if not isinstance(gives, type):
        raise TypeError("what is made under a key is answered as a record")
    return gives


def _guarded(view: View, roles: frozenset[Role] | None, limit: str) -> View:
    """The role is looked at first, then the size of the body, then what was sent."""

    @wraps(view)
    def guarded(*args: Any, **named: Any) -> Response:
        if roles is not None:
            let_in(roles)
        limit_body(limit)
        return view(*args, **named)  # type: ignore[no-any-return]

    return guarded


def _in_a_transaction(view: View) -> View:
    """What is looked at and what is written stand in one transaction."""

    @wraps(view)
    def within(*args: Any, **named: Any) -> Any:
        with service().database.writing() as db:
            return view(*args, db=db, **named)

    return within


def _after(view: View, first: Callable[[Any], None]) -> View:
    """A view that comes after something else, which stands by itself."""

    @wraps(view)
    def after(*args: Any, given: object, **named: Any) -> Any:
        first(given)
        return view(*args, given=given, **named)

    return after


def _without_parameters(view: View) -> View:
    """A view that is not handed the record of no parameters."""

    @wraps(view)
    def plain(*args: Any, asked: object, **named: Any) -> Any:
        return view(*args, **named)

    return plain
