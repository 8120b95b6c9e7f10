"""How far taking apart and putting back are, zone by zone: the lead's one look at a vehicle.

How many pieces of a position came off is read from its entries, at the most that were ever off at
once: a piece that came off twice is one piece, and one that is back was off.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Annotated

from partsvc.domain.desk import Desk
from partsvc.domain.hold_lines import hold_line
from partsvc.domain.ledger import Posted
from partsvc.domain.places import Place, PlaceKind
from partsvc.domain.plan import Step
from partsvc.domain.progress import Whereabouts, whereabouts
from partsvc.domain.records import Says


@dataclass(frozen=True, slots=True, kw_only=True)
class PiecesNow:
    """How so many pieces stand: all but `came_off` are told apart, and add up to `pieces`."""

    pieces: int = 0
    still_on: Annotated[int, Says("secured, and never off")] = 0
    secured_again: Annotated[int, Says("were off, are secured again")] = 0
    loose: Annotated[int, Says("in place, not secured: put in, or only loosened")] = 0
    off: Annotated[int, Says("not in place, and not missing")] = 0
    missing: Annotated[int, Says("were not there on arrival")] = 0
    came_off: Annotated[int, Says("off now, or off before and back again")] = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneProgress:
    """One zone of the vehicle: its pieces, and its hold points."""

    zone: str
    steps: int
    now: PiecesNow
    holds: int
    holds_open: int


def zones(desk: Desk) -> tuple[ZoneProgress, ...]:
    """Every zone, in the order of the plan; the desk looks back on its entries."""
    most_off = most_off_at_once(desk.posted)
    by_zone: dict[str, list[Step]] = defaultdict(list)
    for step in desk.plan.steps:
        by_zone[step.zone].append(step)
    return tuple(_zone(desk, zone, steps, most_off) for zone, steps in by_zone.items())


def most_off_at_once(posted: Iterable[Posted]) -> Mapping[str, int]:
    """For each position, the most pieces that were ever away from it at once."""
    level: dict[str, int] = defaultdict(int)
    most: dict[str, int] = defaultdict(int)
    for one in posted:
        source, target = one.entry.source.place, one.entry.target.place
        if PlaceKind.OUTSIDE in (source.kind, target.kind):
            continue
        if _in_place(source):
            level[source.at] += one.entry.quantity
        if _in_place(target):
            level[target.at] -= one.entry.quantity
        for place in (source, target):
            most[place.at] = max(most[place.at], level[place.at])
    return most


def in_all(found: Iterable[PiecesNow]) -> PiecesNow:
    """The pieces of several places together."""
    total: Counter[str] = Counter()
    for one in found:
        total.update(asdict(one))
    return PiecesNow(**total)


def pieces_now(now: Whereabouts, *, most_off: int) -> PiecesNow:
    """How the pieces of one position stand; `most_off` of them were away at once."""
    missing = min(now.missing, now.off)
    off = now.off - missing
    loose = min(now.loose, now.planned - now.off)
    secured = now.planned - now.off - loose
    came_off = max(off, min(now.planned - missing, most_off - missing))
    again = max(0, min(secured, came_off - off - loose))
    return PiecesNow(
        pieces=now.planned,
        still_on=secured - again,
        secured_again=again,
        loose=loose,
        off=off,
        missing=missing,
        came_off=came_off,
    )


def _in_place(place: Place) -> bool:
    return place.kind in (PlaceKind.SECURED, PlaceKind.LOOSE)


def _zone(
    desk: Desk, zone: str, steps: Sequence[Step], most_off: Mapping[str, int]
) -> ZoneProgress:
    holds = [hold_line(desk, hold) for step in steps for hold in step.holds]
    return ZoneProgress(
        zone=zone,
        steps=len(steps),
        now=in_all(
            pieces_now(whereabouts(one, desk.book), most_off=most_off.get(one.id, 0))
            for step in steps
            for one in step.positions
        ),
        holds=len(holds),
        holds_open=sum(not hold.passed for hold in holds),
    )
