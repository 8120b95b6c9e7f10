"""What was done under a hold: named when its passing is taken back, for somebody to judge."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from partsvc.domain.desk import ActDone, Desk
from partsvc.domain.effects import HoldPassed, StepDone
from partsvc.domain.effects_holds import HoldUndone
from partsvc.domain.job_state import Happened
from partsvc.domain.ledger import Entry
from partsvc.domain.people_words import called_by_id
from partsvc.domain.places import PlaceKind
from partsvc.domain.plan import Hold, Phase, Step
from partsvc.domain.site_time import later
from partsvc.domain.standing import holds_before, standing

MOST_NAMED = 5
_IN_PLACE = (PlaceKind.LOOSE, PlaceKind.SECURED)
_AT_HAND = (PlaceKind.BAG, PlaceKind.OWN_HOLE, PlaceKind.WITH)


@dataclass(frozen=True, slots=True)
class Work:
    """An act of work on the vehicle, at one step, in one direction."""

    act: ActDone
    step: Step
    phase: Phase


def done_under(desk: Desk, hold: Hold, *, since: int, until: int | None = None) -> tuple[Work, ...]:
    """The work behind a hold after an act, as far as no other passing stood for it."""
    found: dict[int, Work] = {}
    for work in _work_between(desk, since, until):
        seq = work.act.seq
        if seq not in found and any(one is hold for _, one in holds_before(desk, *_where(work))):
            before = standing(desk, hold, at=work.act.at, by=work.act.by, before=seq)
            if not before.stands or _is(before.passed, since):
                found[seq] = work
    return tuple(found[seq] for seq in sorted(found))


def _where(work: Work) -> tuple[Step, Phase]:
    return work.step, work.phase


def _is(passed: Happened | None, seq: int) -> bool:
    return passed is not None and passed.seq == seq


def _work_between(desk: Desk, since: int, until: int | None) -> Iterator[Work]:
    acts = {act.seq: act for act in desk.acts}
    for posted in desk.posted:
        phase, position = _direction(posted.entry)
        step = desk.plan.home_step.get(position)
        if posted.seq in acts and phase and step and _between(posted.seq, since, until):
            yield Work(acts[posted.seq], step, phase)
    for item, said in desk.state.each(StepDone):
        step = desk.plan.step_of.get(said.step)
        if item.seq in acts and step and _between(item.seq, since, until):
            phase = Phase.REFIT if step.phase is Phase.REFIT else Phase.STRIP
            yield Work(acts[item.seq], step, phase)


def wait_over_at(desk: Desk, hold: Hold) -> str:
    """When the time that has to go by before a hold is over; empty if it has not begun."""
    acts = [work.act for work in _work_between(desk, 0, None) if work.step.id == hold.wait_after]
    passes = {
        item.seq for item, said in desk.state.each(HoldPassed) if said.step == hold.wait_after
    }
    acts += [act for act in desk.acts if act.seq in passes]
    last = max(acts, key=lambda act: act.seq, default=None)
    return later(last.at, minutes=hold.wait_minutes or 0) if last else ""


def _between(seq: int, since: int, until: int | None) -> bool:
    return since < seq and (until is None or seq < until)


def _direction(entry: Entry) -> tuple[Phase | None, str]:
    """Which way a piece went by hand, and at which position; neither for other movements."""
    source, target = entry.source.place, entry.target.place
    if target.kind in _IN_PLACE and source.kind in _AT_HAND:
        return Phase.REFIT, target.at
    if target.kind is PlaceKind.SECURED and source.kind is PlaceKind.LOOSE:
        return Phase.REFIT, target.at
    if source.kind in _IN_PLACE and target.kind in _AT_HAND:
        return Phase.STRIP, source.at
    if source.kind is PlaceKind.SECURED and target.kind is PlaceKind.LOOSE:
        return Phase.STRIP, source.at
    return None, ""


def named(work: Iterable[Work]) -> str:
    """The first of these acts, each with what, where and by whom, and how many more there are."""
    acts = list(work)
    words = "; ".join(_named(one) for one in acts[:MOST_NAMED])
    more = len(acts) - MOST_NAMED
    return f"{words}; and {more} more" if more > 0 else words


def _named(work: Work) -> str:
    who = called_by_id(work.act.by)
    return f"act {work.act.seq}, {work.act.kind} at step {work.step.number}, by {who}"


@dataclass(frozen=True, slots=True)
class Undone:
    """A passing that was taken back, and the work that nothing stands for since."""

    hold: Hold
    step: Step
    by: Happened
    work: tuple[Work, ...]


def undone(desk: Desk) -> Iterator[Undone]:
    """Every passing taken back, oldest first, with the work that was done under it."""
    for item, said in desk.state.each(HoldUndone):
        step, hold = desk.plan.holds.get(said.hold, (None, None))
        if step is not None and hold is not None:
            work = done_under(desk, hold, since=said.since, until=item.seq)
            yield Undone(hold, step, item, work)


def passed_in(desk: Desk, act: str) -> Iterator[Hold]:
    """The holds that an act passed."""
    for item, said in desk.state.each(HoldPassed):
        if item.act == act and said.hold in desk.plan.holds:
            yield desk.plan.holds[said.hold][1]
