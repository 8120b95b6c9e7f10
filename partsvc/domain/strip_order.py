"""In which order the steps were really taken apart.

Devices' clocks differ and queued acts arrive late, so the order comes from the corrected time of
each act; but one device never goes against its own sequence, and ties fall by the ledger's number.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class StripMoment:
    """One act of stripping: its step, when, and on which device it was the how-manieth."""

    step: str
    seq: int
    done_at: str
    device: str
    device_seq: int | None = None


def strip_ranks(moments: Iterable[StripMoment]) -> Mapping[str, int]:
    """The rank of each step's first act, 0 for the step that was begun first.

    `done_at` are RFC 3339 times in UTC with milliseconds, so they compare as text.
    """
    ranks: dict[str, int] = {}
    for moment in _in_order(moments):
        ranks.setdefault(moment.step, len(ranks))
    return ranks


def _in_order(moments: Iterable[StripMoment]) -> list[StripMoment]:
    """Sorted by corrected time, never against a device's own sequence, ties by `seq`."""
    latest: dict[str, str] = {}
    timed: list[tuple[str, int, StripMoment]] = []
    by_device = sorted(moments, key=lambda one: (one.device, _own_order(one), one.seq))
    for moment in by_device:
        at = max(moment.done_at, latest.get(moment.device, ""))
        latest[moment.device] = at
        timed.append((at, moment.seq, moment))
    place = {moment.seq: n for n, (_, _, moment) in enumerate(timed)}
    return [m for _, _, m in sorted(timed, key=lambda one: (one[0], one[1], place[one[1]]))]


def _own_order(moment: StripMoment) -> int:
    return moment.seq if moment.device_seq is None else moment.device_seq
