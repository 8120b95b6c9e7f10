"""What the parts desk is told: taken past it, differing, come back; what is away; what has no name.

A notice is ticked off with a word or without; who finds out what a piece is, says it here.
"""

from __future__ import annotations

import sqlite3

from flask import Response, request
from werkzeug.wrappers import Response as AnyResponse

from partsvc.domain.acts.kinds import SUPPLY
from partsvc.domain.parts import Part, PartKind, Rule
from partsvc.pages.filled_in import carried_out, filled_in
from partsvc.pages.parts_desk import DESK, open_jobs, part_numbers
from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom
from partsvc.web.running import sender, service
from partsvc.work import catalogue, notices
from partsvc.work.away_list import away
from partsvc.work.bay import strays
from partsvc.work.naming import names
from partsvc.work.notices import NoticesWanted, TickNotices
from partsvc.work.unknown_pieces import unknown_pieces

room = PageRoom("parts_told", __name__)

_MOST = 200


@room.page("/parts/told", roles=SUPPLY)
def told() -> Response:
    """What the desk is told and has not seen to, and what is out of the house."""
    return _told()


def _told(*, fault: str = "", status: int = 200) -> Response:
    return shown(
        "parts_told.html",
        notices=notices.page(service(), NoticesWanted(limit=_MOST)).notices,
        away=away(service()),
        names=names(service()),
        fault=fault,
        typed=request.form,
        status=status,
    )


@room.page("/parts/told/seen", roles=DESK, methods=("POST",))
def tick() -> AnyResponse:
    """Notices are ticked off."""

    def work(db: sqlite3.Connection) -> str:
        given = filled_in(TickNotices, whole=("notices",), many=("notices",))
        notices.tick(service(), db, sender(), given)
        return "/parts/told"

    return carried_out(work, _told)


@room.page("/parts/unknown", roles=SUPPLY)
def unknown() -> Response:
    """Pieces without a number: of jobs, and strays of the bay."""
    return _unknown()


def _unknown(*, fault: str = "", status: int = 200) -> Response:
    return shown(
        "parts_unknown.html",
        pieces=unknown_pieces(service()),
        bay=strays(service()),
        jobs=open_jobs(),
        numbers=part_numbers(),
        kinds=tuple(PartKind),
        rules=tuple(Rule),
        names=names(service()),
        fault=fault,
        typed=request.form,
        status=status,
    )


@room.page("/parts/new", roles=DESK, methods=("POST",))
def new_part() -> AnyResponse:
    """A part that the catalogue does not have yet, so that a piece can be named after it."""

    def work(db: sqlite3.Connection) -> str:
        catalogue.add(service(), db, filled_in(Part, whole=("length_mm", "pack_size")))
        return "/parts/unknown"

    return carried_out(work, _unknown)
