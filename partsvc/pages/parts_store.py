"""The store at the parts desk: what comes in, what is on the shelf, and the shelf counted blind."""

from __future__ import annotations

from typing import Any

from flask import Response, request

from partsvc.domain.acts.kinds import SUPPLY
from partsvc.pages.parts_desk import DESK, open_jobs, part_numbers
from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom
from partsvc.web.running import service
from partsvc.work import catalogue
from partsvc.work.catalogue import ByNumber
from partsvc.work.naming import names
from partsvc.work.stock_counts import last_counts

room = PageRoom("parts_store", __name__)

_A_PAGE = 100


@room.page("/parts/receive", roles=DESK)
def receive() -> Response:
    """Parts arrived that stand on no order line here."""
    return shown("parts_receive.html", jobs=open_jobs(), numbers=part_numbers())


@room.page("/parts/store", roles=SUPPLY)
def store() -> Response:
    """What the store has by its book, by part number."""
    return shown("parts_store.html", **_shelf())


@room.page("/parts/count", roles=DESK)
def count() -> Response:
    """The shelf counted without looking at the book; what the book had stands beside it after."""
    return shown(
        "parts_count.html",
        **_shelf(),
        counts=last_counts(service()),
        names=names(service()),
        numbers=part_numbers(),
    )


def _shelf() -> dict[str, Any]:
    """A page of the shelf, and the number that the next one begins after."""
    after = request.args.get("after", "").strip()[:80]
    stock = catalogue.stock(service(), ByNumber(after=after or None, limit=_A_PAGE)).stock
    return {
        "stock": stock,
        "after": after,
        "next": stock[-1].part if len(stock) == _A_PAGE else "",
    }
