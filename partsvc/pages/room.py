"""One way of declaring a page: its address, who may see it, and what happens when they may not."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import wraps
from typing import Any, cast
from urllib.parse import quote, urlsplit

from flask import Blueprint, Response, g, redirect, request
from werkzeug.exceptions import HTTPException
from werkzeug.wrappers import Response as AnyResponse

from partsvc.domain.acts.kinds import ALL, Role
from partsvc.errors import Busy, NotAllowed, NotFound, NotSignedIn, PartsvcError
from partsvc.pages.cookie import token_of_page
from partsvc.pages.render import shown
from partsvc.web.running import service
from partsvc.work import signing_in
from partsvc.work.preferences import Preferences, preferences_of
from partsvc.work.service import Sender
from partsvc.work.signing_in import SessionShown

View = Callable[..., Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Visitor:
    """Who looks at a page, and how they want it."""

    session: SessionShown
    wants: Preferences


def visitor() -> Visitor:
    """Who looks at this page."""
    return cast(Visitor, g.visitor)


class PageRoom(Blueprint):
    """The pages of one subject."""

    def page(
        self,
        rule: str,
        *,
        roles: frozenset[Role] | None = ALL,
        methods: Sequence[str] = ("GET",),
    ) -> Callable[[View], View]:
        """Declare a page; `roles` may see it, None means everybody without signing in.

        A view that answers to POST is asked only by our own pages. What our errors say is shown
        as a page; who is not signed in is asked to, and comes back here.
        """

        def declared(function: View) -> View:
            view = _told_as_a_page(_guarded(function, roles))
            self.add_url_rule(rule, function.__name__, view, methods=list(methods))
            return function

        return declared


def _guarded(view: View, roles: frozenset[Role] | None) -> View:
    @wraps(view)
    def guarded(*args: Any, **named: Any) -> Any:
        g.visitor = _who()
        if request.method not in ("GET", "HEAD"):
            _of_our_own()
        if roles is None:
            return view(*args, **named)
        if g.visitor is None:
            return redirect(f"/sign-in?next={quote(_here())}")
        if not roles & set(map(Role, g.visitor.session.roles)):
            may = ", ".join(sorted(roles))
            raise NotAllowed(f"This is for: {may}. Ask one of them to sign in.", roles=may)
        return view(*args, **named)

    return guarded


def _here() -> str:
    return request.full_path.rstrip("?") if request.method == "GET" else "/"


def _who() -> Visitor | None:
    token = token_of_page()
    if not token:
        return None
    try:
        found = signing_in.session(service(), token)
    except NotSignedIn:
        return None
    g.sender = Sender(person=found.person, roles=frozenset(found.roles), device=found.device)
    return Visitor(session=found, wants=preferences_of(service(), found.person))


def _of_our_own() -> None:
    """A form of another site must not act in somebody's name."""
    origin = request.headers.get("Origin", "")
    site = request.headers.get("Sec-Fetch-Site", "same-origin")
    if (origin and urlsplit(origin).netloc != request.host) or site == "cross-site":
        raise NotAllowed("This form was not sent by a page of this service. Open the page anew.")


_STATUS = ((NotFound, 404), (NotAllowed, 403), (NotSignedIn, 401), (Busy, 503))


def _told_as_a_page(view: View) -> View:
    @wraps(view)
    def told(*args: Any, **named: Any) -> Any:
        try:
            return view(*args, **named)
        except PartsvcError as error:
            return problem_page(error)

    return told


def problem_page(error: PartsvcError) -> Response:
    """What went wrong, and what to do next, as a page."""
    status = next((status for kind, status in _STATUS if isinstance(error, kind)), 409)
    return shown("problem.html", title=error.title, detail=error.detail, status=status)


def problem_page_of_http(error: HTTPException) -> AnyResponse:
    """What Flask itself refuses, as a page."""
    if error.code is not None and error.code < 400:
        return error.get_response()
    g.setdefault("visitor", None)
    broke = error.code == 500
    return shown(
        "problem.html", title="" if broke else error.name, detail="", status=error.code or 500
    )
