"""Addresses of order lines: asked for on a job, followed until they have come."""

from __future__ import annotations

from flask import Response

from partsvc.api.files import CSV, file, rather
from partsvc.api.room import Room
from partsvc.domain.acts.kinds import ALL, SUPPLY, Role
from partsvc.domain.order_view import LineShown
from partsvc.web.running import sender, service
from partsvc.work import on_order, order_lines, order_notes, papers
from partsvc.work.answers import Writing
from partsvc.work.on_order import OnOrder, OnOrderShown
from partsvc.work.order_lines import LinesShown, NewLine
from partsvc.work.order_notes import LineNote

room = Room("order lines", __name__, description="What was ordered for a job, and how far it is.")
DESK = frozenset({Role.PARTS, Role.LEAD})


@room.at("GET", "/jobs/<job>/order-lines", roles=ALL, gives=LinesShown, also=CSV)
def get_order_lines(job: str) -> LinesShown | Response:
    """List the order lines of a job with where they stand"""
    return get_order_lines_table(job) if rather(CSV) else order_lines.lines_of(service(), job)


@room.at("GET", "/jobs/<job>/order-lines.csv", roles=ALL, gives=CSV)
def get_order_lines_table(job: str) -> Response:
    """Take the order lines of a job as a table"""
    return file(papers.order_lines_csv(service(), job), CSV, name="order-lines.csv")


@room.at(
    "POST", "/jobs/<job>/order-lines", roles=SUPPLY, takes=NewLine, gives=LineShown, status=201,
    writes=True, location="/api/v1/order-lines/{line[id]}",
)  # fmt: skip
def post_order_line(job: str, *, db: Writing, given: NewLine) -> LineShown:
    """Ask for a part or a consumable on a job

    With an order number or a promised day it is ordered already.
    """
    return order_lines.add(service(), db, sender(), job, given)


@room.at("POST", "/jobs/<job>/order/ask", roles=SUPPLY, gives=LinesShown, status=201, writes=True)
def post_ask_for_all(job: str, *, db: Writing) -> LinesShown:
    """Ask for all that is to be ordered for a job now

    Each part and consumable on a line of its own; sent again later, only what is new by then.
    """
    return order_lines.ask_for_all(service(), db, sender(), job)


@room.at("GET", "/order-lines/<line>", roles=ALL, gives=LineShown, etag=True)
def get_order_line(line: str) -> LineShown:
    """Look at an order line with all that was noted on it"""
    with service().database.reading() as db:
        return order_lines.line(service(), db, line)


@room.at(
    "POST", "/order-lines/<line>/events", roles=DESK, takes=LineNote, gives=LineShown, status=201,
    writes=True, problems=[412],
)  # fmt: skip
def post_order_event(line: str, *, db: Writing, given: LineNote) -> LineShown:
    """Note what became of an order line

    Ordered, promised for another day, come, refused. Parts that came are received into the store.
    """
    return order_notes.note(service(), db, sender(), line, given)


@room.at(
    "PUT", "/jobs/<job>/on-order/<path:part>", roles=DESK, takes=OnOrder, gives=OnOrderShown,
    writes=True,
)  # fmt: skip
def put_on_order(job: str, part: str, *, db: Writing, given: OnOrder) -> OnOrderShown:
    """Note how many of a part are on order for a job, in one go"""
    return on_order.put_on_order(service(), db, sender(), job, part, given)
