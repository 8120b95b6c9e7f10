"""Pieces that have no number yet, over all open jobs: the parts desk names them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.effects_between import StrayFound
from partsvc.domain.parts import is_stray, is_unnamed, part_words
from partsvc.domain.places import PlaceKind
from partsvc.domain.records import Says
from partsvc.store import keeping
from partsvc.store.database import Row
from partsvc.work.desk_order import MOST_JOBS
from partsvc.work.facts import job_desk
from partsvc.work.jobs import NEWEST
from partsvc.work.service import Service


@dataclass(frozen=True, slots=True, kw_only=True)
class UnknownPiece:
    """A piece of a job that is a stray, or of a part that nobody has named yet."""

    job: str
    job_number: int
    what: Annotated[str, Says("what to call it when it is identified")]
    stray: bool
    words: str
    quantity: int
    where: tuple[str, ...]


def unknown_pieces(service: Service) -> tuple[UnknownPiece, ...]:
    """What is to be named, over all open jobs."""
    with service.database.reading() as db:
        rows = keeping.jobs(db, service.site, state="open", before=NEWEST, limit=MOST_JOBS)
        return tuple(one for row in rows for one in _of_job(row, job_desk(service, db, row)))


def _of_job(row: Row, desk: Desk) -> Iterator[UnknownPiece]:
    said = {one.part: one.words for _, one in desk.state.each(StrayFound)}
    found: dict[str, tuple[int, dict[str, None]]] = {}
    for held in desk.book.holdings():
        if held.quantity > 0 and (is_stray(held.part) or is_unnamed(held.part)):
            quantity, where = found.get(held.part, (0, {}))
            place = held.spot.place
            if place.kind is PlaceKind.BAG:
                where[f"bag {shown_bag(place.at)}"] = None
            found[held.part] = (quantity + held.quantity, where)
    for what, (quantity, where) in sorted(found.items()):
        homes = [
            position.where
            for _, position in desk.plan.each_position()
            if position.item(what) is not None
        ]
        yield UnknownPiece(
            job=row["id"],
            job_number=row["number"],
            what=what,
            stray=is_stray(what),
            words=said.get(what, "") or part_words(what, desk.parts.get(what)),
            quantity=quantity,
            where=(*homes, *where),
        )
