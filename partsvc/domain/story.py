"""The likely story: which leftover belongs to which shortage, and where to open first.

Leftovers are matched with shortages as a whole, at the least cost of calling one thing another;
a pair that is too unlike stays unmatched rather than being made up.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from partsvc.domain.assignment import match
from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.findings import Finding
from partsvc.domain.look import called, shape_of
from partsvc.domain.lookalike import LIKELY_WITHIN, difference, distance

# A stray has no known shape: likelier than nothing, less likely than any good match.
UNKNOWN_SHAPE = LIKELY_WITHIN - 1
SHORT = ("short", "missing-on-arrival", "broken")
LEFT = ("left-over", "issued-not-used", "stray")


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryLine:
    """One thing that most likely happened, and what to open or look at first."""

    words: str
    step: str
    step_number: int
    position: str
    bag: str = ""


def likely_story(desk: Desk, findings: Sequence[Finding]) -> tuple[StoryLine, ...]:
    """What most likely happened, in words; the surest first."""
    return (*_exchanges(desk, findings), *_matches(desk, findings))


def _exchanges(desk: Desk, findings: Sequence[Finding]) -> tuple[StoryLine, ...]:
    """Two positions that each hold the other's part."""
    wrong = [finding for finding in findings if finding.kind == "wrong-part"]
    told = []
    for n, one in enumerate(wrong):
        for other in wrong[n + 1 :]:
            if _belongs(desk, one.part, other) and _belongs(desk, other.part, one):
                told.append(_exchange(desk, one, other))
    return tuple(told)


def _belongs(desk: Desk, part: str, finding: Finding) -> bool:
    position = desk.plan.positions.get(finding.position)
    return position is not None and position.item(part) is not None


def _exchange(desk: Desk, one: Finding, other: Finding) -> StoryLine:
    here = desk.plan.positions[one.position].where
    there = desk.plan.positions[other.position].where
    shapes = [desk.parts.get(part) for part in (one.part, other.part)]
    unlike = difference(shape_of(shapes[0]), shape_of(shapes[1])) if all(shapes) else ""  # type: ignore[arg-type]
    words = (
        f"{called(desk, one.part)} and {called(desk, other.part)} were exchanged between step "
        f"{one.step_number} ({here}) and step {other.step_number} ({there})"
    )
    words += f": {unlike}." if unlike else "."
    return StoryLine(words=words, step=one.step, step_number=one.step_number, position=one.position)


def _matches(desk: Desk, findings: Sequence[Finding]) -> tuple[StoryLine, ...]:
    left = [finding for finding in findings if finding.kind in LEFT]
    short = [finding for finding in findings if finding.kind in SHORT]
    if not left or not short:
        return ()
    costs = [[_cost(desk, one, gap) for gap in short] for one in left]
    pairs = match(costs, limit=LIKELY_WITHIN)
    return tuple(
        _match_words(desk, left[row], short[column])
        for row, column in sorted(pairs, key=lambda pair: costs[pair[0]][pair[1]])
    )


def _cost(desk: Desk, left: Finding, short: Finding) -> int:
    one, other = desk.parts.get(left.part), desk.parts.get(short.part)
    if _same(desk, left, short):
        return 0
    if one is None or other is None:
        return UNKNOWN_SHAPE
    return distance(shape_of(one), shape_of(other))


def _same(desk: Desk, left: Finding, short: Finding) -> bool:
    """Whether what is left is what is short, or what takes its place there."""
    position = desk.plan.positions.get(short.position)
    line = position.item(short.part) if position else None
    return left.part == short.part or (line is not None and left.part in line.numbers)


def _match_words(desk: Desk, left: Finding, short: Finding) -> StoryLine:
    where = desk.plan.positions[short.position].where
    same = "fits there" if _same(desk, left, short) else _unlike(desk, left, short)
    same = "is the same part" if left.part == short.part else same
    return StoryLine(
        words=(
            f"{called(desk, left.part)} left in bag {shown_bag(left.bag)} most likely belongs to "
            f"step {short.step_number}, {where}: it {same}. Open that first."
        ),
        step=short.step,
        step_number=short.step_number,
        position=short.position,
        bag=left.bag,
    )


def _unlike(desk: Desk, left: Finding, short: Finding) -> str:
    one, other = desk.parts.get(left.part), desk.parts.get(short.part)
    if one is None or other is None:
        return "could be what is short there"
    return f"differs only so: {difference(shape_of(one), shape_of(other))}"
