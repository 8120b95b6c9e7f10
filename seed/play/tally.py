"""What a job costs in acts, scans and taps, by the work it was part of.

A scan is a tag held before the reader; a photo of many bags is one scan. A tap is what no scan
says: one to send, and one for each thing chosen or typed, each reading of a list by itself.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

SCANNED = frozenset({"bag", "into", "old_parts"})
SCANNED_LISTS = frozenset({"bags", "tags"})
SEEN_EMPTY = "seen-empty"

# Made by the device, and neither chosen nor typed by anybody.
_BY_ITSELF = frozenset({"key", "kind", "done_at", "queued"})


class Row(StrEnum):
    """The part of the work that an act belongs to."""

    STRIP = "strip"
    DESK = "parts desk"
    REFIT = "refit"
    SEEN = "bags seen empty"
    BESIDE = "beside"


#: The work that is the same in any way of recording; what went wrong stands beside it.
ROWS = (Row.STRIP, Row.DESK, Row.REFIT, Row.SEEN)


@dataclass(slots=True)
class Cost:
    """What some work took: acts recorded, scans, taps."""

    acts: int = 0
    scans: int = 0
    taps: int = 0

    def __add__(self, other: Cost) -> Cost:
        """Both together."""
        return Cost(self.acts + other.acts, self.scans + other.scans, self.taps + other.taps)


@dataclass(slots=True)
class Tally:
    """What was sent on one job: by kind, by work; how bags were seen empty; what was refused."""

    acts: Counter[str] = field(default_factory=Counter)
    costs: dict[Row, Cost] = field(default_factory=lambda: {row: Cost() for row in Row})
    bags_seen: int = 0
    photos: int = 0
    refusals: int = 0

    @property
    def scans(self) -> int:
        """All scans of the job."""
        return sum(cost.scans for cost in self.costs.values())

    def sent(self, row: Row, body: Mapping[str, Any], *, recorded: bool) -> None:
        """Count something that was sent; what was refused took its scans and taps all the same."""
        self.costs[row] += Cost(int(recorded), scans(body), taps(body))
        if not recorded:
            self.refusals += 1
            return
        self.acts[body["kind"]] += 1
        if body["kind"] == SEEN_EMPTY:
            self.bags_seen += len(body["bags"])
            self.photos += int(len(body["bags"]) > 1)


def scans(body: Mapping[str, Any]) -> int:
    """How many tags were held before a reader; many bags at once are one photo."""
    lists = [body[name] for name in SCANNED_LISTS if name in body]
    several = sum(1 if body["kind"] == SEEN_EMPTY else len(one) for one in lists)
    return sum(name in body for name in SCANNED) + several


def taps(body: Mapping[str, Any]) -> int:
    """One to send, and one for each thing that no scan said."""
    said = set(body) - _BY_ITSELF - SCANNED - SCANNED_LISTS
    return 1 + sum(_pieces_of(body[name]) for name in said)


def _pieces_of(value: object) -> int:
    return len(value) if isinstance(value, list | tuple) else 1
