"""What stays on a vehicle's record: over all its jobs, what was lost, broken, taken as it is.

It is read off the ledgers anew each time, so a piece that turns up years later stands beside its
loss, and the release of that day is what it was.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from partsvc.domain.desk import shown_bag
from partsvc.domain.effects import Accepted, Released, Searched
from partsvc.domain.effects_broken import RestFound, RestLeft
from partsvc.domain.effects_variants import Differing, NotApplying, NotDone, Repaired
from partsvc.domain.job_state import Happened, JobState
from partsvc.domain.parts import Part, part_words
from partsvc.domain.places import Place, PlaceKind
from partsvc.domain.plan import Plan
from partsvc.domain.record_lines import (
    FoundAgain,
    FragmentOnRecord,
    JobHeading,
    LineOnRecord,
    LostMoved,
    LostOnRecord,
    ReleaseOnRecord,
    Told,
)


@dataclass(frozen=True, slots=True)
class JobPast:
    """One job of the vehicle, as far as the record reads it."""

    heading: JobHeading
    plan: Plan
    state: JobState
    moves: Sequence[LostMoved]
    parts: Mapping[str, Part]

    def called(self, part: str) -> str:
        """A part in words; the number alone, of what the catalogue no longer has."""
        return part_words(part, self.parts.get(part)) if part else ""

    def where(self, position: str) -> str:
        """A position in words."""
        found = self.plan.positions.get(position)
        step = self.plan.home_step.get(position)
        return f"step {step.number}, {found.where}" if found and step else position


@dataclass(slots=True)
class _Lost:
    """What is gathered of one loss."""

    lost: list[LostMoved] = field(default_factory=list)
    found: list[LostMoved] = field(default_factory=list)


def lost_on_record(past: JobPast) -> Iterable[LostOnRecord]:
    """Everything that was ever lost on a job, found again or not."""
    gathered: dict[tuple[str, str, str], _Lost] = {}
    for move in past.moves:
        into = move.entry.target.place.kind is PlaceKind.LOST
        spot = move.entry.target if into else move.entry.source
        one = gathered.setdefault((str(spot.place), move.entry.part, spot.lot), _Lost())
        (one.lost if into else one.found).append(move)
    for (place, part, lot), one in gathered.items():
        quantity = sum(move.entry.quantity for move in one.lost)
        yield LostOnRecord(
            job=past.heading.id,
            job_number=past.heading.number,
            part=part,
            called=past.called(part),
            home=past.where(lot) if lot in past.plan.positions else "",
            last=_place_words(past, Place.parse(Place.parse(place).at)),
            quantity=quantity,
            still_lost=quantity - sum(move.entry.quantity for move in one.found),
            reported=tuple(Told(by=move.by, at=move.at, words=move.words) for move in one.lost),
            searches=_searches(past, one, place, lot),
            decided=_decisions(past, ("lost",), place, part, lot),
            found=tuple(_found(past, move) for move in one.found),
        )


def _found(past: JobPast, move: LostMoved) -> FoundAgain:
    return FoundAgain(
        quantity=move.entry.quantity,
        by=move.by,
        at=move.at,
        words=move.words,
        went_to=_place_words(past, move.entry.target.place),
    )


def _place_words(past: JobPast, place: Place) -> str:
    match place.kind:
        case PlaceKind.BAG:
            return f"bag {shown_bag(place.at)}"
        case PlaceKind.SCRAP:
            return "thrown away"
        case PlaceKind.SECURED | PlaceKind.LOOSE | PlaceKind.OWN_HOLE:
            return past.where(place.at)
        case _:
            return str(place)


def _searches(past: JobPast, one: _Lost, place: str, lot: str) -> tuple[Told, ...]:
    """The searches that were made for a loss: those that name it, and those of all of it."""
    acts = {move.act for move in one.lost}
    first = min((move.seq for move in one.lost), default=0)
    until = max((move.seq for move in one.found), default=0)
    at = Place.parse(Place.parse(place).at).at
    return tuple(
        Told(by=happened.by, at=happened.at, words=f"{said.where}: {said.result}")
        for happened, said in past.state.each(Searched)
        if said.loss in acts
        or (not said.loss and (said.lot or said.position) and {said.lot, said.position} & {lot, at})
        or (
            not (said.loss or said.lot or said.position)
            and (said.vehicle or said.bay)
            and happened.seq > first
            and (not until or happened.seq < until)
        )
    )


def _decisions(
    past: JobPast, kinds: tuple[str, ...], place: str, part: str, lot: str
) -> tuple[Told, ...]:
    """The acceptances of just this finding, each with its reason."""
    return tuple(
        Told(by=happened.by, at=happened.at, words=said.reason)
        for happened, said in past.state.each(Accepted)
        if said.finding in kinds and (said.place, said.part, said.lot) == (place, part, lot)
    )


def fragments_on_record(past: JobPast) -> Iterable[FragmentOnRecord]:
    """Every rest of a broken piece that was not at hand when it broke."""
    for happened, left in past.state.each(RestLeft):
        out = [
            (found_by, found)
            for found_by, found in past.state.each(RestFound)
            if (found.broke, found.part, found.lost) == (happened.act, left.part, left.lost)
        ]
        place = left.position or f"bag:{left.bag}"
        kinds = ("fragment-lost",) if left.lost else ("fragment",)
        yield FragmentOnRecord(
            job=past.heading.id,
            job_number=past.heading.number,
            part=left.part,
            called=past.called(left.part),
            where=past.where(left.position) if left.position else f"bag {shown_bag(left.bag)}",
            quantity=left.quantity,
            still_there=max(0, left.quantity - sum(found.quantity for _, found in out)),
            lost=left.lost,
            by=happened.by,
            at=happened.at,
            taken_out=tuple(Told(by=by.by, at=by.at, words=one.words) for by, one in out),
            decided=_decisions(past, kinds, place, left.part, happened.act),
        )


# What has lines of its own on the record, with more of its story.
_TOLD_ELSEWHERE = ("lost", "fragment", "fragment-lost")


def accepted_on_record(past: JobPast) -> Iterable[LineOnRecord]:
    """What quality or the lead took as it stands, the defects seen among it."""
    remarked = {happened.act: happened.effect for happened in past.state.remarks}
    for happened, said in past.state.each(Accepted):
        if said.finding not in _TOLD_ELSEWHERE:
            seen = getattr(remarked.get(said.lot), "words", "")
            what = f"{said.quantity} {past.called(said.part)}" if said.part else ""
            where = _finding_place(past, said.place)
            yield _line(past, happened, said.finding, where, seen or what, said.reason)


def _finding_place(past: JobPast, place: str) -> str:
    kind, _, at = place.partition(":")
    if kind == PlaceKind.BAG.value and at:
        return f"bag {shown_bag(at)}"
    return past.where(place)


def repairs_on_record(past: JobPast) -> Iterable[LineOnRecord]:
    """Threads and other things that were repaired on this vehicle."""
    for happened, said in past.state.each(Repaired):
        yield _line(past, happened, "repaired", past.where(said.position), said.words)


def differs_on_record(past: JobPast) -> Iterable[LineOnRecord]:
    """What this vehicle has otherwise than planned, has not at all, or what was left undone."""
    for happened, said in past.state.each(Differing):
        yield _line(past, happened, "differs", past.where(said.position), said.words, said.reason)
    for happened, lacks in past.state.each(NotApplying):
        yield _line(past, happened, "does-not-apply", lacks.where, "", lacks.reason)
    for happened, undone in past.state.each(NotDone):
        step = past.plan.step_of.get(undone.step)
        where = f"step {step.number}, {step.title}" if step else undone.step
        yield _line(past, happened, "not-done", where, "", undone.reason)


def _line(
    past: JobPast, happened: Happened, kind: str, where: str, words: str, reason: str = ""
) -> LineOnRecord:
    return LineOnRecord(
        job=past.heading.id,
        job_number=past.heading.number,
        kind=kind,
        where=where,
        words=words,
        reason=reason,
        by=happened.by,
        at=happened.at,
    )


def releases_on_record(past: JobPast) -> Iterable[ReleaseOnRecord]:
    """Every release of a job, those before a reopening among them."""
    for happened, said in past.state.each(Released):
        yield ReleaseOnRecord(
            job=past.heading.id,
            job_number=past.heading.number,
            head=said.head,
            by=happened.by,
            at=happened.at,
            accepted=said.accepted,
        )
