"""Which pieces were put back that must not be: single-use bolts tightened a second time.

Judged by lot. A lot of new pieces may be secured as often as it has pieces; every further time is
one of them tightened again. Pieces that came off the vehicle have no time left. Nobody can tell the
pieces of one lot apart, so the loosest reading that the book allows is taken, and a piece that
leaves is taken to be the wrong one: whoever takes one out to put it right does just that.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace

from partsvc.domain.ledger import Entry, Posted
from partsvc.domain.parts import Rule
from partsvc.domain.places import Condition, Gate, PlaceKind, outside
from partsvc.domain.plan import Plan

Lots = Mapping[tuple[str, str, str], int]


def tightened_again(posted: Iterable[Posted], plan: Plan) -> Lots:
    """How many pieces, by position, part and lot, stand secured that were secured before.

    Only positions whose rule for that part is *replace* are judged; the opening is no tightening.
    """
    left: dict[tuple[str, str], int] = defaultdict(int)
    wrong: dict[tuple[str, str, str], int] = defaultdict(int)
    for entry in under_last_names(posted):
        left[entry.part, entry.target.lot] += _new_pieces(entry)
        if entry.source.place.kind is PlaceKind.OUTSIDE or _stays(entry):
            continue
        if entry.target.place.kind is PlaceKind.SECURED and _replaced(plan, entry):
            fresh = min(entry.quantity, max(0, left[entry.part, entry.target.lot]))
            left[entry.part, entry.target.lot] -= fresh
            wrong[entry.target.place.at, entry.part, entry.target.lot] += entry.quantity - fresh
        if entry.source.place.kind is PlaceKind.SECURED:
            key = (entry.source.place.at, entry.part, entry.source.lot)
            wrong[key] = max(0, wrong[key] - entry.quantity)
    return {key: quantity for key, quantity in wrong.items() if quantity}


def uses_left(posted: Iterable[Posted], part: str, lot: str) -> int:
    """How many times pieces of this lot may still be secured under a *replace* rule."""
    left = 0
    for entry in under_last_names(posted):
        if entry.part == part and entry.target.lot == lot:
            left += _new_pieces(entry)
            secured = entry.target.place.kind is PlaceKind.SECURED
            if secured and entry.source.place.kind is not PlaceKind.OUTSIDE and not _stays(entry):
                left -= entry.quantity
    return max(0, left)


def _stays(entry: Entry) -> bool:
    """Whether the piece only got worse where it is: it broke, or failed a look."""
    return entry.source.place == entry.target.place


def under_last_names(posted: Iterable[Posted]) -> list[Entry]:
    """The entries as if each piece had borne from the start the number it was given last."""
    return [item.entry for item in renamed(posted)[0]]


def renamed(posted: Iterable[Posted]) -> tuple[list[Posted], Mapping[tuple[str, str], str]]:
    """The same with their acts, and for each number and lot the number it was given last.

    A change of number passes the gate: out under the old one, at once in again under the new one.
    """
    names: dict[tuple[str, str], str] = {}
    found: list[Posted] = []
    waiting: Posted | None = None
    for item in reversed(tuple(posted)):
        if waiting is not None and _renames(item, waiting):
            new, lot = waiting.entry.part, waiting.entry.target.lot
            names[item.entry.part, lot] = names.get((new, lot), new)
            waiting = None
            continue
        found += _named(waiting, names)
        waiting = item
    found += _named(waiting, names)
    return found[::-1], names


def _renames(out: Posted, back: Posted) -> bool:
    if out.entry.target.place == outside(Gate.UNPACKED):
        return False
    there_and_back = out.entry.reversed()
    return out.act == back.act and there_and_back == replace(back.entry, part=out.entry.part)


def _named(posted: Posted | None, names: Mapping[tuple[str, str], str]) -> list[Posted]:
    if posted is None:
        return []
    entry = posted.entry
    last = names.get((entry.part, entry.target.lot), entry.part)
    return [replace(posted, entry=replace(entry, part=last))]


def _new_pieces(entry: Entry) -> int:
    """New pieces that come into the job's hands by this entry, less those that leave it."""
    away = (PlaceKind.OUTSIDE, PlaceKind.STOCK)
    came = entry.source.place.kind in away and entry.target.place.kind not in away
    went = entry.target.place.kind in (*away, PlaceKind.SCRAP) and (
        entry.source.place.kind not in away
    )
    if came and entry.target.condition is Condition.NEW:
        return entry.quantity
    # What stands secured was counted when it was secured, even if it still counts as new.
    was_new = entry.source.condition is Condition.NEW
    unused = was_new and entry.source.place.kind is not PlaceKind.SECURED
    broke = entry.target.condition is Condition.DAMAGED and not came
    if unused and (went or broke):
        return -entry.quantity
    return 0


def _replaced(plan: Plan, entry: Entry) -> bool:
    position = plan.positions.get(entry.target.place.at)
    item = position.item(entry.part) if position else None
    return item is not None and item.rule is Rule.REPLACE
