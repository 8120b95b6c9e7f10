"""A tag's own page: what is in the bag, where it belongs, what to do next.

The link that is printed on every tag leads here, so any phone's camera is a scanner.
"""

from __future__ import annotations

import sqlite3
from typing import Any

from flask import Response, redirect, request
from werkzeug.wrappers import Response as AnyResponse

from partsvc.domain.tag_look import Content, TagView
from partsvc.pages.filled_in import carried_out, filled_in
from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom
from partsvc.web.running import service
from partsvc.work import tagging
from partsvc.work.pictures import StepPicture, pictures_of_pieces
from partsvc.work.tag_view import tag_view
from partsvc.work.tagging import VoidTag

room = PageRoom("tag", __name__)

#: Whether there is anything to be taken apart or put back on a job that is in this state.
_OPEN = "open"


@room.page("/t/<code>")
def tag(code: str) -> AnyResponse:
    """A tag, by its code as typed, printed or scanned."""
    return _page(code)


@room.page("/T/<code>")
def printed(code: str) -> AnyResponse:
    """The link as the tags have it: all in capitals, which makes a smaller symbol."""
    found = tag_view(service(), code)
    return redirect(f"/t/{found.code}")


@room.page("/t/<code>/void", methods=("POST",))
def void(code: str) -> AnyResponse:
    """The tag is lost, torn or cannot be read."""

    def voided(db: sqlite3.Connection) -> str:
        tagging.void(service(), db, code, filled_in(VoidTag))
        return f"/t/{code}"

    def again(**told: Any) -> Response:
        return _page(code, **told)

    return carried_out(voided, again)


def _page(code: str, *, fault: str = "", status: int = 200) -> Response:
    found = tag_view(service(), code)
    belongs = frozenset(one.position for one in found.contents if one.position)
    return shown(
        "tag.html",
        belongs=belongs,
        pictures=_pictures(found, belongs),
        tag=found,
        job=found.job,
        working=found.job is not None and found.job.state == _OPEN and not found.void,
        home=_home(found),
        fault=fault,
        reason=request.form.get("reason", ""),
        status=status,
    )


def _pictures(found: TagView, belongs: frozenset[str]) -> tuple[StepPicture, ...]:
    """Where what is in it goes, as photos."""
    if found.job is None or not belongs:
        return ()
    return pictures_of_pieces(service(), found.job.id, belongs)


def _home(found: TagView) -> Content | None:
    """Where most of it belongs: the first place of the first pieces that have one."""
    return next((one for one in found.contents if one.step), None)
