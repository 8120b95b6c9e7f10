"""What stands beside each spot of a photo now: its number, and how far its position is.

The book knows how many pieces of a position are secured, not which of its spots they sit at: every
spot of a position shows the state of the whole, the worst first, and the counts say the rest.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from partsvc.domain.desk import Desk
from partsvc.domain.fragments import by_act
from partsvc.domain.photo_spots import SpottedPhoto
from partsvc.domain.places import Condition, PlaceKind
from partsvc.domain.plan import Position
from partsvc.domain.progress import Whereabouts, whereabouts
from partsvc.domain.records import Says


class SpotState(StrEnum):
    """How far the position at a spot is; the worst of its pieces counts."""

    BROKEN = "broken"
    MISSING = "missing"
    OFF = "off"
    OWN_HOLE = "own-hole"
    LOOSE = "loose"
    SECURED = "secured"


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoMark:
    """One spot as it is drawn."""

    order: Annotated[int, Says("the number on the photo: the order of tightening, as tapped")]
    x_permille: Annotated[int, Says("from the left, in thousandths of the photo's width")]
    y_permille: Annotated[int, Says("from the top, in thousandths of the photo's height")]
    position: str
    where: str
    step: str
    state: SpotState
    pieces: int
    secured: int
    loose: int
    own_hole: int
    missing: int
    off: Annotated[
        int, Says("neither secured nor loose; those in their own holes and missing, too")
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkLine:
    """All spots of one position, for those who read the list instead of the photo."""

    numbers: tuple[int, ...]
    mark: PhotoMark


def lines_of(marks: Iterable[PhotoMark]) -> tuple[MarkLine, ...]:
    """The marks by position, in the order in which the positions come first."""
    found: dict[str, list[PhotoMark]] = {}
    for mark in marks:
        found.setdefault(mark.position, []).append(mark)
    return tuple(
        MarkLine(numbers=tuple(mark.order for mark in own), mark=own[0]) for own in found.values()
    )


def marks_of(desk: Desk, spotted: SpottedPhoto, broken: Collection[str]) -> tuple[PhotoMark, ...]:
    """The spots whose positions are still in the plan; the others' numbers stay free."""
    found = []
    for order, spot in enumerate(spotted.spots, start=1):
        position = desk.plan.positions.get(spot.position)
        if position is None:
            continue
        now = whereabouts(position, desk.book)
        found.append(
            PhotoMark(
                order=order,
                x_permille=spot.x_permille,
                y_permille=spot.y_permille,
                position=position.id,
                where=position.where,
                step=desk.plan.home_step[position.id].id,
                state=state_of(position, now, broken=position.id in broken),
                pieces=now.planned,
                secured=now.secured,
                loose=now.loose,
                own_hole=now.own_hole,
                missing=now.missing,
                off=now.off,
            )
        )
    return tuple(found)


def state_of(position: Position, now: Whereabouts, *, broken: bool) -> SpotState:
    """The one state that a person must know first. A place not yet counted is as it came."""
    if broken:
        return SpotState.BROKEN
    if now.missing:
        return SpotState.MISSING
    if now.off > now.own_hole:
        return SpotState.OFF
    if now.own_hole:
        return SpotState.OWN_HOLE
    return SpotState.LOOSE if now.loose else SpotState.SECURED


def broken_at(desk: Desk) -> frozenset[str]:
    """The positions whose piece broke and has not been made good, or whose rest is still there."""
    rests = {one.position for one in by_act(desk.state) if one.position}
    hurt = {
        held.spot.lot
        for held in desk.book.holdings()
        if held.quantity > 0
        and held.spot.condition is Condition.DAMAGED
        and held.spot.place.kind is not PlaceKind.SCRAP
        and held.spot.lot in desk.plan.positions
    }
    off = {lot for lot in hurt if whereabouts(desk.plan.positions[lot], desk.book).off}
    return frozenset(rests | off)
