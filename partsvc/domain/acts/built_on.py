"""Which later acts build on an act, beyond the pieces it moved.

Undoing an act whose pieces have moved on is stopped by the book. But an act also changes the plan,
takes a count or passes an inspection; undone beneath later acts, these would be left with a step
that is not there, or with a used piece that nobody has looked at.
"""

from __future__ import annotations

from collections.abc import Iterator

from partsvc.domain.desk import Desk, PastAct
from partsvc.domain.effects import (
    CountAdjusted,
    CountTaken,
    Effect,
    Inspected,
    PositionAdded,
    PositionCorrected,
    Remarked,
    StageDone,
    StepAdded,
)
from partsvc.domain.effects_broken import RestFound, RestLeft
from partsvc.domain.effects_variants import CountFound, Repaired
from partsvc.domain.ledger import Entry
from partsvc.domain.places import PlaceKind


def built_on(desk: Desk, past: PastAct) -> tuple[str, ...]:
    """The keys of the later acts that must be undone first, newest first."""
    own = [item.effect for item in desk.happened if item.act == past.key]
    later: dict[int, str] = {}
    for effect in own:
        later |= dict(_acts_on(desk, past, effect))
    return tuple(later[seq] for seq in sorted(later, reverse=True))


def _acts_on(desk: Desk, past: PastAct, effect: Effect) -> Iterator[tuple[int, str]]:
    for item in desk.happened:
        if item.seq > past.seq and _effect_builds(item.effect, effect, past.key):
            yield item.seq, item.act
    for posted in desk.posted:
        if posted.seq > past.seq and _entry_builds(posted.entry, effect):
            yield posted.seq, posted.act


def _effect_builds(later: Effect, effect: Effect, key: str) -> bool:
    match effect:
        case StepAdded():
            return getattr(later, "step", "") == effect.step
        case PositionAdded() | CountFound():
            named = (getattr(later, "position", ""), getattr(later, "on", ""))
            return effect.position in named
        case PositionCorrected():
            return isinstance(later, PositionCorrected) and later.position == effect.position
        case Remarked():
            return isinstance(later, Repaired) and later.settles == key
        case RestLeft():
            return isinstance(later, RestFound) and later.broke == key
        case CountTaken():
            return isinstance(later, CountAdjusted) and later.count == key
        case StageDone():
            return (
                isinstance(later, StageDone)
                and (later.position, later.part) == (effect.position, effect.part)
                and later.stage != effect.stage
            )
        case _:
            return False


def _entry_builds(entry: Entry, effect: Effect) -> bool:
    match effect:
        case StepAdded():
            return effect.step in (entry.source.place.at, entry.target.place.at)
        case PositionAdded() | CountFound():
            at = (entry.source.place.at, entry.target.place.at)
            return effect.position in (*at, entry.source.lot, entry.target.lot)
        case Inspected(passed=True):
            return _puts_back(entry) and (entry.part, entry.source.lot) == (effect.part, effect.lot)
        case _:
            return False


def _puts_back(entry: Entry) -> bool:
    into = (PlaceKind.LOOSE, PlaceKind.SECURED)
    came_off = (PlaceKind.BAG, PlaceKind.OWN_HOLE, PlaceKind.WITH, PlaceKind.LOOSE)
    return entry.target.place.kind in into and entry.source.place.kind in came_off
