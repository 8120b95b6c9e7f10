"""The cookie that a page's browser is signed in by, and the requests it is good for.

The cookie holds the same token that programs send as `Authorization: Bearer`, out of reach of
scripts. A page reads and posts acts through the API like any program; for these requests the
cookie stands in for the header: for looking always, for anything else only with a header of our
own, which a page of another site cannot send.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from flask import request
from werkzeug.http import parse_cookie
from werkzeug.wrappers import Response as AnyResponse

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

COOKIE = "partsvc"
OF_A_PAGE = "HTTP_X_PARTSVC_PAGE"
_LOOKING = ("GET", "HEAD")


class CookieDoor:
    """Lets the requests of our own pages in by their cookie."""

    def __init__(self, inner: WSGIApplication) -> None:
        self.inner = inner

    def __call__(self, environ: WSGIEnvironment, start: StartResponse) -> Iterable[bytes]:
        """Put the token where the API looks for it, if the cookie may stand for it."""
        if "HTTP_AUTHORIZATION" not in environ and (
            environ["REQUEST_METHOD"] in _LOOKING or environ.get(OF_A_PAGE)
        ):
            token = parse_cookie(environ).get(COOKIE)
            if token:
                environ["HTTP_AUTHORIZATION"] = f"Bearer {token}"
        return self.inner(environ, start)


def token_of_page() -> str:
    """The token of the browser that asks; empty if it is not signed in."""
    return request.cookies.get(COOKIE, "")


def hand_out(response: AnyResponse, token: str, *, seconds: int) -> None:
    """Sign the browser in."""
    # Lax: a tag scanned with a phone's own camera opens the page from outside.
    response.set_cookie(
        COOKIE, token, max_age=seconds, httponly=True, samesite="Lax", secure=request.is_secure
    )


def take_back(response: AnyResponse) -> None:
    """Sign the browser out."""
    response.delete_cookie(COOKIE, httponly=True, samesite="Lax")
