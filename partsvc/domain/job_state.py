"""Where a job stands beyond its balances: the fold of all effects that still hold.

Reversed acts and their reversals are left out by whoever reads the effects, so the fold itself
never needs to look back.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import TypeVar

from partsvc.domain.effects import (
    Accepted,
    BagSeenEmpty,
    Confirmed,
    CountAdjusted,
    CountTaken,
    Effect,
    HoldPassed,
    Inspected,
    Overridden,
    PositionCorrected,
    Released,
    Remarked,
    Reopened,
    Searched,
    StageDone,
    StepDone,
    Stowed,
    TagUsed,
)

E = TypeVar("E")


@dataclass(frozen=True, slots=True)
class Happened:
    """An effect as it stands in the book: which act brought it, who did it and when."""

    seq: int
    act: str
    by: str
    at: str
    effect: Effect
    recorded_by: str = ""
    supervised_by: str = ""

    @property
    def people(self) -> frozenset[str]:
        """Everybody who had a part in it."""
        return frozenset({self.by, self.recorded_by, self.supervised_by} - {""})


@dataclass(slots=True)
class JobState:
    """What has happened on a job, ready to be asked. Built once by `fold`, then only read."""

    holds: dict[str, Happened] = field(default_factory=dict)
    done: dict[str, Happened] = field(default_factory=dict)
    stages: dict[tuple[str, str, str], int] = field(default_factory=lambda: defaultdict(int))
    settings: dict[str, list[Happened]] = field(default_factory=lambda: defaultdict(list))
    tags: dict[str, str] = field(default_factory=dict)
    stowed: dict[str, str] = field(default_factory=dict)
    counts: dict[str, list[Happened]] = field(default_factory=lambda: defaultdict(list))
    adjusted: set[str] = field(default_factory=set)
    seen_empty: dict[str, int] = field(default_factory=dict)
    vehicle_searched: int = 0
    bay_searched: int = 0
    inspected: dict[tuple[str, str], list[Inspected]] = field(
        default_factory=lambda: defaultdict(list)
    )
    confirmed: dict[str, Happened] = field(default_factory=dict)
    remarks: list[Happened] = field(default_factory=list)
    overridden: list[Happened] = field(default_factory=list)
    accepted: list[Happened] = field(default_factory=list)
    released: Happened | None = None
    last_release: Happened | None = None
    _by_kind: dict[type, list[Happened]] = field(default_factory=lambda: defaultdict(list))

    def each(self, kind: type[E]) -> Iterator[tuple[Happened, E]]:
        """All effects of one kind that hold, in the ledger's order, each with its act."""
        for happened in self._by_kind.get(kind, ()):
            if isinstance(happened.effect, kind):
                yield happened, happened.effect

    def passed(self, part: str, lot: str) -> int:
        """How many pieces of a lot passed inspection, for rules that ask for one."""
        return sum(look.quantity for look in self.inspected[part, lot] if look.passed)


def fold(happened: Iterable[Happened]) -> JobState:
    """The state after all these effects, given in the ledger's order."""
    state = JobState()
    for item in happened:
        state._by_kind[type(item.effect)].append(item)
        _apply(state, item, item.effect)
    return state


def _apply(state: JobState, item: Happened, effect: Effect) -> None:
    match effect:
        case HoldPassed():
            state.holds[effect.hold] = item
        case StepDone():
            state.done[effect.step] = item
        case StageDone():
            state.stages[effect.position, effect.stage, effect.part] += effect.quantity
            state.settings[effect.position].append(item)
        case TagUsed():
            state.tags[effect.tag] = effect.kind
        case Stowed():
            state.stowed[effect.tag] = effect.at
        case Inspected():
            state.inspected[effect.part, effect.lot].append(effect)
        case PositionCorrected(renames=True):
            _rename(state, effect)
        case _:
            _apply_what_was_seen(state, item, effect)


def _rename(state: JobState, effect: PositionCorrected) -> None:
    """What was done and seen before a part had its right number was done to that part."""
    for position, stage, part in tuple(state.stages):
        if (position, part) == (effect.position, effect.part):
            done = state.stages.pop((position, stage, part))
            state.stages[position, stage, effect.becomes] += done
    looks = state.inspected.pop((effect.part, effect.position), [])
    state.inspected[effect.becomes, effect.position].extend(looks)


def _apply_what_was_seen(state: JobState, item: Happened, effect: Effect) -> None:
    match effect:
        case CountTaken():
            state.counts[item.act].append(item)
        case CountAdjusted():
            state.adjusted.add(effect.count)
        case BagSeenEmpty():
            state.seen_empty[effect.bag] = item.seq
        case Searched():
            state.vehicle_searched = item.seq if effect.vehicle else state.vehicle_searched
            state.bay_searched = item.seq if effect.bay else state.bay_searched
        case Confirmed():
            state.confirmed[effect.position or effect.step] = item
        case Remarked():
            state.remarks.append(item)
        case Overridden():
            state.overridden.append(item)
        case _:
            _apply_an_end(state, item, effect)


def _apply_an_end(state: JobState, item: Happened, effect: Effect) -> None:
    match effect:
        case Accepted():
            state.accepted.append(item)
        case Released():
            state.released = state.last_release = item
        case Reopened():
            state.released = None
        case _:
            # Plan effects are folded by `job_plan`; the others are read one by one with `each`.
            return
