"""Whose hands were last on what a finding is about: whom to ask, and when it was."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from partsvc.domain.desk import Desk
from partsvc.domain.findings import Finding
from partsvc.domain.places import AT_POSITION, Gate, Place, PlaceKind, outside


@dataclass(frozen=True, slots=True, kw_only=True)
class LastHand:
    """The act that a finding goes back to, as far as one is known."""

    seq: int = 0
    act: str = ""
    by: str = ""
    at: str = ""


UNKNOWN = LastHand()


def last_hands(desk: Desk, findings: Iterable[Finding]) -> tuple[LastHand, ...]:
    """For each finding the act that it names, else the last one that moved what it is about."""
    acts = {act.key: LastHand(seq=act.seq, act=act.key, by=act.by, at=act.at) for act in desk.acts}
    acts |= {
        one.key: LastHand(act=one.key, by=one.by, at=one.at)
        for one in desk.refused
        if one.key not in acts
    }
    moved: dict[tuple[str, str], str] = {}
    for posted in desk.posted:
        if posted.entry.source.place == outside(Gate.OPENING):
            continue
        for spot in (posted.entry.source, posted.entry.target):
            for name in _names(spot.place):
                moved[name, posted.entry.part] = moved[name, ""] = posted.act
    return tuple(_last(finding, acts, moved) for finding in findings)


def _names(place: Place) -> Iterator[str]:
    """By what a finding may name this place."""
    yield str(place)
    if place.kind in AT_POSITION or place.kind is PlaceKind.BAG:
        yield place.at


def _last(
    finding: Finding, acts: dict[str, LastHand], moved: dict[tuple[str, str], str]
) -> LastHand:
    if finding.lot in acts:
        return acts[finding.lot]
    for name in filter(None, (finding.place, finding.position, finding.bag)):
        for part in (finding.part, ""):
            found = acts.get(moved.get((name, part), ""))
            if found is not None:
                return found
    return UNKNOWN
