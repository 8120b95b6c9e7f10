"""Second looks: what is critical is looked at by another person after it was last secured."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from partsvc.domain.desk import Desk
from partsvc.domain.effects import Accepted, Confirmed
from partsvc.domain.job_state import Happened
from partsvc.domain.places import PlaceKind, secured
from partsvc.domain.plan import Position, Step

_NOT_BY_HANDS = (PlaceKind.OUTSIDE, PlaceKind.SECURED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """A critical position that nobody else has looked at since pieces there were secured."""

    step: Step
    position: Position
    secured_by: str


def wanted(desk: Desk) -> Iterator[Wanted]:
    """The critical positions that still want a second look, in plan order; needs the entries.

    Where a look said that something is not right, that look speaks, and no second one is asked for
    until it is answered or accepted.
    """
    last = _last_secured(desk)
    for step, position in desk.plan.each_position():
        if position.critical and position.id in last and desk.book.count(secured(position.id)):
            since, act = last[position.id]
            if not _answered(desk, step, position, since=since):
                yield Wanted(step=step, position=position, secured_by=act)


def _last_secured(desk: Desk) -> Mapping[str, tuple[int, str]]:
    """The last act that secured pieces at each position; what was never off is not among them."""
    return {
        posted.entry.target.place.at: (posted.seq, posted.act)
        for posted in desk.posted
        if posted.entry.target.place.kind is PlaceKind.SECURED
        and posted.entry.source.place.kind not in _NOT_BY_HANDS
    }


def _answered(desk: Desk, step: Step, position: Position, *, since: int) -> bool:
    looks = [
        (happened, seen)
        for happened, seen in desk.state.each(Confirmed)
        if seen.position == position.id or (seen.step == step.id and not seen.position)
    ]
    if not looks:
        return False
    happened, seen = looks[-1]
    return happened.seq > since or not (seen.right or _accepted(desk, happened))


def _accepted(desk: Desk, look: Happened) -> bool:
    return any(
        said.finding == "looked-wrong" and said.lot == look.act
        for _, said in desk.state.each(Accepted)
    )
