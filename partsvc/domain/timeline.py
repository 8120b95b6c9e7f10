"""The days of a job: who did what when, told by what matters to whoever comes after.

A thousand acts are read as days first, then as one day: by person along the clock, and as a list.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from zoneinfo import ZoneInfo


class Sort(StrEnum):
    """What an act was to the job, the one that must not be overlooked first."""

    REFUSED = "refused"
    UNDONE = "undone"
    HOLD = "hold"
    AWAY = "away"
    HAND_OVER = "hand-over"
    SUPPLY = "supply"
    BACK = "back"
    OFF = "off"
    LOOK = "look"
    OTHER = "other"


_SORTS: Mapping[Sort, frozenset[str]] = {
    Sort.UNDONE: frozenset({"reverse", "reopen", "dismiss"}),
    Sort.HOLD: frozenset({"hold", "lapse", "lock", "unlock"}),
    Sort.AWAY: frozenset({"send-away", "come-back", "exchange-carrier", "lend", "borrow"}),
    Sort.HAND_OVER: frozenset({"hand-over", "hand-over-incomplete", "release"}),
    Sort.SUPPLY: frozenset({"receive", "issue", "exchange", "return"}),
    Sort.BACK: frozenset({"fit", "secure", "apply"}),
    Sort.OFF: frozenset({"loosen", "remove", "missing", "arrived-off", "discard"}),
    Sort.LOOK: frozenset(
        {
            "inspect", "confirm", "count", "adjust", "seen-empty", "remark", "picture", "spots",
            "search", "accept", "find", "lose", "stray", "broke",
        }
    ),
}  # fmt: skip
_RANK = {sort: n for n, sort in enumerate(Sort)}


def sort_of(kind: str) -> Sort:
    """What an act of a kind was to the job."""
    return next((sort for sort, kinds in _SORTS.items() if kind in kinds), Sort.OTHER)


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """One act, or one that was refused: when, by whom, at which step; `seq` is 0 if refused."""

    at: str
    by: str
    kind: str
    sort: Sort
    step: str = ""
    seq: int = 0
    detail: str = ""
    undone: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """A day of the job by the workshop's calendar, and how much happened on it."""

    day: str
    moments: int
    by_sort: Mapping[Sort, int]
    by_hour: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shift:
    """What was done in one shift of a day; without shifts the whole day is one."""

    until: str
    moments: tuple[Moment, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LaneMark:
    """A mark in a person's lane: a stretch of time, the gravest sort in it, and how many acts."""

    slot: int
    sort: Sort
    moments: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Lane:
    """One person's day along the clock."""

    by: str
    moments: int
    marks: tuple[LaneMark, ...]


def local(at: str, zone: str) -> datetime:
    """A time of a record by the workshop's clock."""
    return datetime.fromisoformat(at).astimezone(ZoneInfo(zone))


def days(moments: Iterable[Moment], zone: str) -> tuple[Day, ...]:
    """The days on which something happened, newest first."""
    found: dict[str, list[tuple[int, Sort]]] = defaultdict(list)
    for one in moments:
        at = local(one.at, zone)
        found[at.date().isoformat()].append((at.hour, one.sort))
    return tuple(_day(day, found[day]) for day in sorted(found, reverse=True))


def _day(day: str, happened: Sequence[tuple[int, Sort]]) -> Day:
    by_sort: dict[Sort, int] = defaultdict(int)
    by_hour = [0] * 24
    for hour, sort in happened:
        by_hour[hour] += 1
        by_sort[sort] += 1
    ordered = {sort: by_sort[sort] for sort in Sort if by_sort[sort]}
    return Day(day=day, moments=len(happened), by_sort=ordered, by_hour=tuple(by_hour))


def of_day(moments: Iterable[Moment], day: str, zone: str) -> tuple[Moment, ...]:
    """What happened on one day, in the order in which it was done."""
    own = [one for one in moments if local(one.at, zone).date().isoformat() == day]
    return tuple(sorted(own, key=lambda one: (one.at, one.seq)))


def shifts(moments: Iterable[Moment], ends: Sequence[str], zone: str) -> tuple[Shift, ...]:
    """A day's acts by shift; what is done after the last end belongs to the next day's first."""
    found: dict[str, list[Moment]] = {}
    for one in moments:
        clock = f"{local(one.at, zone):%H:%M}"
        until = next((end for end in sorted(ends) if clock < end), "")
        found.setdefault(until, []).append(one)
    return tuple(Shift(until=until, moments=tuple(own)) for until, own in found.items())


def hours_of(moments: Sequence[Moment], zone: str) -> tuple[int, int]:
    """The whole hours between which all of a day was done; at least four, to tell apart in."""
    hours = [local(one.at, zone).hour for one in moments]
    if not hours:
        return 6, 18
    first, last = min(hours), max(hours) + 1
    first = max(0, min(first, last - 4))
    return first, min(24, max(last, first + 4))


def lanes(
    moments: Sequence[Moment], hours: tuple[int, int], *, slots: int, zone: str
) -> tuple[Lane, ...]:
    """A lane for each person, the one who began first first; near acts are one mark."""
    first, last = hours
    found: dict[str, dict[int, list[Sort]]] = {}
    for one in moments:
        at = local(one.at, zone)
        minute = (at.hour - first) * 60 + at.minute
        slot = min(slots - 1, minute * slots // ((last - first) * 60))
        found.setdefault(one.by, {}).setdefault(slot, []).append(one.sort)
    return tuple(
        Lane(
            by=by,
            moments=sum(map(len, by_slot.values())),
            marks=tuple(
                LaneMark(slot=slot, sort=min(own, key=_RANK.__getitem__), moments=len(own))
                for slot, own in sorted(by_slot.items())
            ),
        )
        for by, by_slot in found.items()
    )
