"""A piece on the floor between two vans: held against everything that is short anywhere.

What is known of the piece is compared with what is known of the part that is short; what nobody
looked at is no evidence either way. The list is ranked: what is on top is looked at first.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from partsvc.domain.checks_position import Explained, position_findings
from partsvc.domain.desk import Desk
from partsvc.domain.effects_between import StrayFound
from partsvc.domain.look import called, shape_of
from partsvc.domain.lookalike import LIKELY_WITHIN, NOT_KNOWN, Shape, difference, distance
from partsvc.domain.parts import Part
from partsvc.domain.places import PlaceKind
from partsvc.domain.story import UNKNOWN_SHAPE

MOST_TOLD = 20
# How likely it is that what is short lies on the floor: what was lost, before what never was there.
LIKELIEST = ("lost", "short", "missing-on-arrival")
# Each word that the finder and the catalogue both use counts so much.
SAME_WORD = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """So many pieces of a part that one job is short of at a position."""

    job: str
    job_number: int
    state: str
    kind: str
    part: str
    called: str
    quantity: int
    step: str = ""
    step_number: int = 0
    position: str = ""
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A place that a stray could be missing from, and why it could."""

    gap: Gap
    why: str
    unlike: int
    words_shared: int = 0


def gaps(desk: Desk, *, number: int, state: str) -> tuple[Gap, ...]:
    """What a job is short of, each shortage once and under its best known name."""
    found: dict[tuple[str, str], Gap] = {}
    for gap in (*_lost(desk, number, state), *_short(desk, number, state)):
        found.setdefault((gap.position, gap.part), gap)
    return tuple(found.values())


def _lost(desk: Desk, number: int, state: str) -> Iterator[Gap]:
    for held in desk.book.holdings():
        if held.quantity > 0 and held.spot.place.kind is PlaceKind.LOST:
            yield _gap(desk, number, state, "lost", held.part, held.quantity, held.spot.lot)


def _short(desk: Desk, number: int, state: str) -> Iterator[Gap]:
    for one in position_findings(desk, Explained()):
        if one.kind in LIKELIEST:
            yield _gap(desk, number, state, one.kind, one.part, one.quantity, one.position)


def _gap(
    desk: Desk, number: int, state: str, kind: str, part: str, quantity: int, home: str
) -> Gap:
    step, position = desk.plan.home_step.get(home), desk.plan.positions.get(home)
    return Gap(
        job=desk.account,
        job_number=number,
        state=state,
        kind=kind,
        part=part,
        called=called(desk, part),
        quantity=quantity,
        step=step.id if step else "",
        step_number=step.number if step else 0,
        position=home if position else "",
        where=position.where if position else "",
    )


def could_be(
    stray: StrayFound, short: Iterable[Gap], parts: Mapping[str, Part]
) -> tuple[Candidate, ...]:
    """The places a stray could be missing from, the likeliest first."""
    found = [_held_against(stray, gap, parts) for gap in short]
    likely = [one for one in found if one.unlike <= LIKELY_WITHIN]
    likely.sort(key=_rank)
    return tuple(likely[:MOST_TOLD])


def _rank(one: Candidate) -> tuple[int, int, int, bool, int, int, str]:
    gap = one.gap
    kind, released = LIKELIEST.index(gap.kind), gap.state == "released"
    place = (gap.job_number, gap.step_number, gap.position)
    return (one.unlike, -one.words_shared, kind, released, *place)


def _held_against(stray: StrayFound, gap: Gap, parts: Mapping[str, Part]) -> Candidate:
    if stray.looks_like == gap.part:
        return Candidate(gap=gap, why=f"{_kind_words(gap)}; the same part by its looks", unlike=0)
    common = _words(stray.words) & (_words(gap.called) | _words(gap.where))
    unlike, why = _unlike(stray, parts.get(gap.part), parts, len(common))
    told = f"; both say: {', '.join(sorted(common))}" if common else ""
    return Candidate(
        gap=gap, why=f"{_kind_words(gap)}; {why}{told}", unlike=unlike, words_shared=len(common)
    )


def _unlike(
    stray: StrayFound, part: Part | None, parts: Mapping[str, Part], common: int
) -> tuple[int, str]:
    """How far a stray is from a part by all that is known of both, and in words.

    What was measured counts alone; where nothing was, words in common are all there is to go by.
    """
    alike = parts.get(stray.looks_like)
    if part is None or not (alike or stray.thread or stray.length_mm):
        return max(0, UNKNOWN_SHAPE - SAME_WORD * common), "nothing was measured, so it could be"
    wanted = shape_of(part)
    seen = shape_of(alike) if alike else _as_far_as_known(stray, wanted)
    unknown = 0 if alike else NOT_KNOWN * (not stray.thread) + NOT_KNOWN * (not stray.length_mm)
    return distance(seen, wanted) + unknown, difference(seen, wanted)


def _as_far_as_known(stray: StrayFound, wanted: Shape) -> Shape:
    """The stray as measured; what was not looked at is as on the part it is held against."""
    return replace(
        wanted,
        thread=stray.thread or wanted.thread,
        length_mm=stray.length_mm or wanted.length_mm,
    )


def _kind_words(gap: Gap) -> str:
    return {"lost": "lost there", "short": "short there"}.get(gap.kind, "missing on arrival there")


def _words(text: str) -> frozenset[str]:
    """The words of three letters and more, whatever their case."""
    return frozenset(re.findall(r"\w{3,}", text.casefold()))
