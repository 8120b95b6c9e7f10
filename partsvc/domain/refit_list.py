"""The refit checklist: what goes back now, from which bag, new or used, how, and in which order."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.applications import applied_at, of_phase
from partsvc.domain.carriers import carried_words
from partsvc.domain.cautions import plan_cautions, step_cautions
from partsvc.domain.custody_list import custody_words
from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.fragments import rests_at
from partsvc.domain.hold_lines import HoldLine, ReadingAsked, hold_line, readings_asked
from partsvc.domain.job_facts import JobFacts
from partsvc.domain.ledger import Holding
from partsvc.domain.look import look_alikes
from partsvc.domain.parts import Rule
from partsvc.domain.people_words import called_by_id, named
from partsvc.domain.places import Condition, Place, PlaceKind, own_hole
from partsvc.domain.plan import Hold, Phase, Position, StackItem, Step
from partsvc.domain.precedence import refit_order
from partsvc.domain.progress import needs_tick, not_in_place, whereabouts
from partsvc.domain.records import Says
from partsvc.domain.stopping import stop_words
from partsvc.domain.strip_list import PartLine, TemporaryLine, part_lines, temporary_lines
from partsvc.domain.tag_kinds import bag_words, is_done_with
from partsvc.domain.this_vehicle import (
    OfThisVehicle,
    arrivals,
    left_out,
    not_on_this_vehicle,
    repairs,
)
from partsvc.domain.use_counts import UseCounts, still_of_use, use_counts


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Where pieces for a position lie: so many, new or used, in which bag or hole."""

    part: str
    quantity: int
    condition: str
    place: str
    bag: str = ""
    stowed_at: str = ""
    instead_of: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StageLine:
    """One stage of securing, as the named source states it."""

    id: str
    words: str
    torque_nm: str = ""
    angle_deg: int | None = None
    source: str = ""
    done: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class RefitPosition:
    """What goes back at one position."""

    id: str
    where: str
    side: str
    sets: int
    pieces: int
    secured: int
    loose: int
    to_fit: int
    record: str
    critical: bool
    pattern: str
    stack: tuple[PartLine, ...]
    sources: tuple[Source, ...]
    not_there: int
    stages: tuple[StageLine, ...]
    tick: bool
    count_as_found: Annotated[bool, Says("nobody has said yet how many there are")] = False
    on_arrival: Annotated[str, Says("how it was when the vehicle came, if it was off")] = ""
    repaired: Annotated[str, Says("what was repaired there on this vehicle")] = ""
    rests: tuple[str, ...] = ()
    carried: Annotated[str, Says("the removable carrier it lies on, and where that is now")] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ApplicationLine:
    """Sealant, threadlock or fluid, with its amount, and whether it is ticked as applied."""

    what: str
    amount: str
    unit: str
    applied: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class RefitStep:
    """One step of the refit, in the order of the refit."""

    id: str
    number: int
    order: int
    title: str
    zone: str
    phase: str
    finished: bool
    hazards: tuple[str, ...]
    cautions: tuple[str, ...]
    holds: tuple[HoldLine, ...]
    take_off: tuple[TemporaryLine, ...]
    applications: tuple[ApplicationLine, ...]
    readings: tuple[str, ...]
    needs_tick: bool
    ticked: bool
    positions: tuple[RefitPosition, ...]
    not_done_because: str = ""
    wants: Annotated[tuple[ReadingAsked, ...], Says("the readings told when it is ticked")] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RefitList:
    """The whole checklist."""

    job: JobFacts
    stopped: str
    cautions: tuple[str, ...]
    pieces_to_fit: int
    pieces_loose: int
    temporaries_on: int
    holds_open: int
    over_all: tuple[HoldLine, ...]
    custody: tuple[str, ...]
    steps: tuple[RefitStep, ...]
    not_on_this_vehicle: tuple[OfThisVehicle, ...] = ()


def refit_list(job: JobFacts, desk: Desk, ranks: Mapping[str, int]) -> RefitList:
    """The checklist in refit order; `ranks` is the order in which the steps were taken apart."""
    alike = look_alikes(desk.plan, desk.parts)
    counts = use_counts(desk)
    steps = tuple(
        _step(desk, desk.plan.step_of[name], number, alike, counts)
        for number, name in enumerate(order_of(desk, ranks), start=1)
    )
    lines = [line for step in steps for line in step.positions]
    return RefitList(
        job=job,
        stopped=stop_words(desk),
        cautions=plan_cautions(desk.plan),
        pieces_to_fit=sum(line.to_fit for line in lines),
        pieces_loose=sum(line.loose for line in lines),
        temporaries_on=sum(one.on_vehicle for step in steps for one in step.take_off),
        holds_open=sum(not hold.passed for step in steps for hold in step.holds),
        over_all=_standing_over_all(desk),
        custody=custody_words(desk),
        steps=steps,
        not_on_this_vehicle=not_on_this_vehicle(desk.state),
    )


def order_of(desk: Desk, ranks: Mapping[str, int]) -> Sequence[str]:
    """The refit order of all steps that have anything to do in a refit."""
    plan = desk.plan
    placed = [step.id for step in plan.steps if step.phase is not Phase.STRIP or _has_refit(step)]
    return refit_order(
        placed,
        stripped={name: rank for name, rank in ranks.items() if name in plan.step_of},
        after=plan.strip_after,
        refit_after=plan.refit_after,
    )


def _asked_here(step: Step, hold: Hold) -> bool:
    """A hold for both directions of a strip-only step stands before all, and not at its place."""
    return hold.when is Phase.REFIT or (hold.when is Phase.BOTH and step.phase is not Phase.STRIP)


def _standing_over_all(desk: Desk) -> tuple[HoldLine, ...]:
    """The holds of the strip that have to stand on the way back, too."""
    return tuple(
        hold_line(desk, hold)
        for step in desk.plan.steps
        if step.phase is Phase.STRIP
        for hold in step.holds
        if hold.when is Phase.BOTH
    )


def _has_refit(step: Step) -> bool:
    """A strip-only step comes back when its temporaries have to come off or its holds say so."""
    return bool(step.temporaries) or any(hold.when is Phase.REFIT for hold in step.holds)


def _step(
    desk: Desk, step: Step, order: int, alike: Mapping[str, tuple[str, ...]], counts: UseCounts
) -> RefitStep:
    positions = tuple(_position(desk, position, alike, counts) for position in step.positions)
    holds = tuple(hold_line(desk, hold) for hold in step.holds if _asked_here(step, hold))
    take_off = temporary_lines(desk, step)
    ticks = needs_tick(step, Phase.REFIT)
    ticked = step.id in desk.state.done
    done = applied_at(desk, step)
    applications = tuple(
        ApplicationLine(what=one.what, amount=one.amount, unit=one.unit, applied=one.what in done)
        for one in of_phase(step, Phase.REFIT)
    )
    return RefitStep(
        id=step.id,
        number=step.number,
        order=order,
        title=step.title,
        zone=step.zone,
        phase=step.phase.value,
        finished=all(not line.to_fit and not line.loose for line in positions)
        and all(hold.passed for hold in holds)
        and not any(one.on_vehicle for one in take_off)
        and (ticked or not ticks)
        and all(one.applied for one in applications),
        hazards=tuple(hazard.value for hazard in step.hazards),
        cautions=step_cautions(step),
        holds=holds,
        take_off=take_off,
        applications=applications,
        readings=tuple(f"{one.name} {one.unit}".strip() for one in step.readings if ticks),
        needs_tick=ticks,
        ticked=ticked,
        positions=positions,
        not_done_because=left_out(desk.state).get(step.id, ""),
        wants=readings_asked(step.readings if ticks else ()),
    )


def _position(
    desk: Desk, position: Position, alike: Mapping[str, tuple[str, ...]], counts: UseCounts
) -> RefitPosition:
    now = whereabouts(position, desk.book)
    sources, not_there = _sources(desk, position, counts)
    return RefitPosition(
        id=position.id,
        where=position.where,
        side=position.side,
        sets=position.sets,
        pieces=position.pieces(),
        secured=now.secured,
        loose=now.loose,
        to_fit=now.off,
        record=position.record.value,
        critical=position.critical,
        pattern=position.pattern,
        stack=part_lines(desk, position, alike, counts),
        sources=sources,
        not_there=not_there,
        stages=tuple(
            StageLine(
                id=stage.id,
                words=stage.words,
                torque_nm=stage.torque_nm,
                angle_deg=stage.angle_deg,
                source=stage.source,
                done=_done(desk, position, stage.id),
            )
            for stage in position.stages
        ),
        rests=rests_at(desk, position.id),
        carried=carried_words(desk, position),
        tick=not now.off and not now.loose and not position.uncounted,
        count_as_found=position.uncounted,
        on_arrival=arrivals(desk.state).get(position.id, ""),
        repaired=repairs(desk.state).get(position.id, ""),
    )


def _done(desk: Desk, position: Position, stage: str) -> int:
    """How many planned pieces of a position were brought to a stage."""
    numbers = {number for item in position.stack for number in item.numbers}
    done = {number: desk.state.stages[position.id, stage, number] for number in numbers}
    return sum(position.filled(done).values())


def _sources(desk: Desk, position: Position, counts: UseCounts) -> tuple[tuple[Source, ...], int]:
    """Where the pieces still to be fitted lie, best first, and how many are nowhere to be had."""
    found: list[Source] = []
    not_there = 0
    taken: Counter[str] = Counter()
    lacking = not_in_place(position, desk.book)
    for item in sorted(position.stack, key=lambda one: one.rides):
        wanted = lacking[item.part] - item.along_with(taken)
        for held in candidates(desk, position, item):
            covers = item.covered_by(held.part)
            take = min(-(-wanted // covers), still_of_use(counts, item, held))
            if take > 0:
                wanted -= take * covers
                taken[held.part] += take
                found.append(_source(desk, item, held, take))
        not_there += max(0, wanted)
    return tuple(found), not_there


def candidates(desk: Desk, position: Position, item: StackItem) -> list[Holding]:
    """Pieces that may go in here: its own used ones unless single-use, then new ones.

    Of new ones those first that lie where its own pieces went: they were exchanged there, and the
    bag of another step would be short of them.
    """
    held = [*desk.book.among(own_hole(position.id), item.numbers)]
    laid_up = (
        one
        for part in item.numbers
        for kind in (PlaceKind.BAG, PlaceKind.WITH)
        for one in desk.book.lying(part, kind)
    )
    for one in laid_up:
        # What came new into this job and off again is at home wherever its part is wanted.
        own = one.spot.lot == position.id or one.spot.lot not in desk.plan.positions
        home = own and one.spot.condition is Condition.USED and not is_done_with(desk, one)
        new = one.spot.condition is Condition.NEW
        if new or (home and item.rule is not Rule.REPLACE):
            held.append(one)
    held += _serving(desk, position, item)
    if len({one.spot.place for one in held}) < 2:
        return held
    went_to = _own_places(desk, position)
    return sorted(
        held,
        key=lambda one: (
            one.spot.condition is Condition.NEW,
            one.spot.place not in went_to,
            one.spot,
        ),
    )


def _own_places(desk: Desk, position: Position) -> set[Place]:
    """Where pieces of a position went when they came off."""
    return {
        posted.entry.target.place
        for posted in desk.posted
        if posted.entry.target.lot == position.id
    }


def _serving(desk: Desk, position: Position, item: StackItem) -> list[Holding]:
    """Its own pieces that serve as a tool on the vehicle, and come back when that is off."""
    return [
        one
        for part in item.numbers
        for one in desk.book.lying(part, PlaceKind.ON_VEHICLE)
        if one.spot.lot == position.id
        and one.spot.condition is Condition.USED
        and item.rule is not Rule.REPLACE
    ]


def _source(desk: Desk, item: StackItem, held: Holding, quantity: int) -> Source:
    code = held.spot.place.at if held.spot.place.kind is PlaceKind.BAG else ""
    return Source(
        part=held.part,
        quantity=quantity,
        condition=held.spot.condition.value,
        place=_where(desk, held),
        bag=shown_bag(code) if code else "",
        stowed_at=desk.state.stowed.get(code, ""),
        instead_of=item.part if held.part != item.part else "",
    )


def _where(desk: Desk, held: Holding) -> str:
    """Where pieces to be fitted are, in words."""
    place = held.spot.place
    if place.kind is PlaceKind.BAG:
        return bag_words(desk, place.at)
    if place.kind is PlaceKind.WITH:
        return named(f"the box of {called_by_id(place.at)}", desk.names)
    if place.kind is PlaceKind.ON_VEHICLE:
        step = desk.plan.step_of.get(place.at)
        return f"the vehicle, where it serves as a tool (step {step.number if step else 0})"
    return "own hole"
