"""Addresses of the catalogue and of what the store has."""

from __future__ import annotations

from partsvc.api.paging import LINK_HEADER, next_page
from partsvc.api.room import Room
from partsvc.domain.acts.kinds import ALL, Role
from partsvc.domain.parts import Part
from partsvc.errors import Invalid
from partsvc.web.running import service
from partsvc.work import catalogue
from partsvc.work.answers import Writing
from partsvc.work.catalogue import ByNumber, PartShown, PartsPage, StockPage

room = Room("parts", __name__, description="The catalogue of parts, and the store's book.")
KEEPERS = frozenset({Role.PARTS, Role.LEAD})


@room.at("GET", "/parts", roles=ALL, asks=ByNumber, gives=PartsPage, headers=LINK_HEADER)
def get_parts(*, asked: ByNumber) -> tuple[PartsPage, dict[str, str]]:
    """List the catalogue, by number"""
    page = catalogue.page(service(), asked)
    full = len(page.parts) == asked.limit
    return page, next_page("after", page.parts[-1].number if full else None)


@room.at(
    "POST", "/parts", roles=KEEPERS, takes=Part, gives=PartShown, status=201, writes=True,
    location="/api/v1/parts/{part[number]}",
)  # fmt: skip
def post_part(*, db: Writing, given: Part) -> PartShown:
    """Add a part to the catalogue"""
    return catalogue.add(service(), db, given)


@room.at("GET", "/parts/<path:number>", roles=ALL, gives=PartShown, etag=True)
def get_part(number: str) -> PartShown:
    """Look a part up"""
    with service().database.reading() as db:
        return catalogue.part(service(), db, number)


@room.at(
    "PUT", "/parts/<path:number>", roles=KEEPERS, takes=Part, gives=PartShown, writes=True,
    etag=True,
)  # fmt: skip
def put_part(number: str, *, db: Writing, given: Part) -> PartShown:
    """Write a part of the catalogue anew"""
    room.same(catalogue.part(service(), db, number))
    if given.number != number:
        raise Invalid(f"A part keeps its number: {number}.", field="number")
    return catalogue.put(service(), db, given)


@room.at("GET", "/stock", roles=ALL, asks=ByNumber, gives=StockPage, headers=LINK_HEADER)
def get_stock(*, asked: ByNumber) -> tuple[StockPage, dict[str, str]]:
    """List what the store has by its book"""
    page = catalogue.stock(service(), asked)
    full = len(page.stock) == asked.limit
    return page, next_page("after", page.stock[-1].part if full else None)
