"""The strip list: every step with what is still on it, what is off and in which bag."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from partsvc.domain.carriers import carried_words
from partsvc.domain.cautions import plan_cautions, step_cautions
from partsvc.domain.custody_list import custody_words
from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.fragments import rests_at
from partsvc.domain.hold_lines import HoldLine, ReadingAsked, hold_line, readings_asked
from partsvc.domain.job_facts import JobFacts
from partsvc.domain.look import (
    accepted_words,
    called,
    look_alike_words,
    look_alikes,
    rule_words,
)
from partsvc.domain.places import PlaceKind, on_vehicle
from partsvc.domain.plan import Phase, Position, Step
from partsvc.domain.progress import needs_tick, still_on, whereabouts
from partsvc.domain.records import Says
from partsvc.domain.stopping import stop_words
from partsvc.domain.temporaries import put_on_as, temporary_part, temporary_words
from partsvc.domain.this_vehicle import (
    OfThisVehicle,
    arrivals,
    left_out,
    not_on_this_vehicle,
    repairs,
)
from partsvc.domain.use_counts import UseCounts, use_counts, uses_at


class StepState(StrEnum):
    """How far a step is taken apart."""

    ON = "on"
    STARTED = "started"
    OFF = "off"
    REFIT_ONLY = "refit-only"


@dataclass(frozen=True, slots=True, kw_only=True)
class PartLine:
    """One part of a set."""

    part: str
    called: str
    per_set: int
    rule: str
    rule_words: str
    looks_like: tuple[str, ...] = ()
    accepts: tuple[str, ...] = ()
    uses: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TemporaryLine:
    """A temporary item and how many are on the vehicle now."""

    id: str
    words: str
    planned: int
    on_vehicle: int
    off_before: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PositionLine:
    """A position: how many pieces belong there, and where they are."""

    id: str
    where: str
    side: str
    sets: int
    pieces: int
    secured: int
    loose: int
    own_hole: int
    missing: int
    off: int
    loosen_only: bool
    bags: tuple[str, ...]
    parts: tuple[PartLine, ...]
    count_as_found: Annotated[bool, Says("nobody has said yet how many there are")] = False
    on_arrival: Annotated[str, Says("how it was when the vehicle came, if it was off")] = ""
    repaired: Annotated[str, Says("what was repaired there on this vehicle")] = ""
    rests: tuple[str, ...] = ()
    carried: Annotated[str, Says("the removable carrier it lies on, and where that is now")] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StepLine:
    """One step of the strip list."""

    id: str
    number: int
    title: str
    zone: str
    phase: str
    state: StepState
    after: tuple[str, ...]
    hazards: tuple[str, ...]
    cautions: tuple[str, ...]
    needs_tick: bool
    ticked: bool
    holds: tuple[HoldLine, ...]
    temporaries: tuple[TemporaryLine, ...]
    positions: tuple[PositionLine, ...]
    not_done_because: str = ""
    wants: Annotated[tuple[ReadingAsked, ...], Says("the readings told when it is ticked")] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StripList:
    """The whole strip list with its progress in pieces."""

    job: JobFacts
    stopped: str
    cautions: tuple[str, ...]
    pieces: int
    pieces_off: int
    steps_off: int
    steps: tuple[StepLine, ...]
    not_on_this_vehicle: tuple[OfThisVehicle, ...] = ()
    custody: tuple[str, ...] = ()


def strip_list(job: JobFacts, desk: Desk) -> StripList:
    """Every step in plan order, with what is on, off and where."""
    bags = bags_by_lot(desk)
    alike = look_alikes(desk.plan, desk.parts)
    counts = use_counts(desk)
    steps = tuple(_step(desk, step, bags, alike, counts) for step in desk.plan.steps)
    lines = [line for step in steps for line in step.positions]
    return StripList(
        job=job,
        stopped=stop_words(desk),
        cautions=plan_cautions(desk.plan),
        pieces=sum(line.pieces for line in lines),
        pieces_off=sum(line.off for line in lines),
        steps_off=sum(step.state is StepState.OFF for step in steps),
        steps=steps,
        not_on_this_vehicle=not_on_this_vehicle(desk.state),
        custody=custody_words(desk),
    )


def bags_by_lot(desk: Desk) -> Mapping[str, tuple[str, ...]]:
    """For each home position, the bags that hold pieces of it."""
    found: dict[str, set[str]] = defaultdict(set)
    for held in desk.book.holdings():
        if held.quantity > 0 and held.spot.place.kind is PlaceKind.BAG:
            found[held.spot.lot].add(held.spot.place.at)
    return {lot: tuple(map(shown_bag, sorted(codes))) for lot, codes in found.items()}


def _step(
    desk: Desk,
    step: Step,
    bags: Mapping[str, tuple[str, ...]],
    alike: Mapping[str, tuple[str, ...]],
    counts: UseCounts,
) -> StepLine:
    return StepLine(
        id=step.id,
        number=step.number,
        title=step.title,
        zone=step.zone,
        phase=step.phase.value,
        state=step_state(desk, step),
        after=step.after,
        hazards=tuple(hazard.value for hazard in step.hazards),
        cautions=step_cautions(step),
        needs_tick=needs_tick(step, Phase.STRIP) or needs_tick(step, Phase.REFIT),
        ticked=step.id in desk.state.done,
        holds=tuple(hold_line(desk, hold) for hold in step.holds),
        temporaries=temporary_lines(desk, step),
        positions=tuple(_position(desk, one, bags, alike, counts) for one in step.positions),
        not_done_because=left_out(desk.state).get(step.id, ""),
        wants=readings_asked(step.readings if needs_tick(step, Phase.STRIP) else ()),
    )


def step_state(desk: Desk, step: Step) -> StepState:
    """How far a step is: all on, begun, or all off with its holds passed and its tick made."""
    if step.phase is Phase.REFIT:
        return StepState.REFIT_ONLY
    on = {position.id: quantity for position, quantity in still_on(step, desk.book)}
    holds = [hold for hold in step.holds if hold.asked_in(Phase.STRIP)]
    open_holds = [hold for hold in holds if hold.id not in desk.state.holds]
    ticked = step.id in desk.state.done
    if not on and not open_holds and (ticked or not needs_tick(step, Phase.STRIP)):
        return StepState.OFF
    touched = any(whereabouts(one, desk.book).off for one in step.positions)
    begun = touched or len(open_holds) < len(holds) or len(on) < len(step.positions)
    return StepState.STARTED if begun else StepState.ON


def temporary_lines(desk: Desk, step: Step) -> tuple[TemporaryLine, ...]:
    """The step's temporary items, the planned ones first, then what else is on there."""
    planned = {temporary_part(one): one for one in step.temporaries}
    lines = [
        TemporaryLine(
            id=one.id,
            words=one.words,
            planned=one.quantity,
            on_vehicle=desk.book.count(on_vehicle(step.id), part),
            off_before=one.off_before,
        )
        for part, one in planned.items()
    ]
    for held in desk.book.at(on_vehicle(step.id)):
        if held.part not in planned:
            words = temporary_words(desk, held.part, step.id) + put_on_as(desk.state, held).how
            lines.append(TemporaryLine(id="", words=words, planned=0, on_vehicle=held.quantity))
    return tuple(lines)


def _position(
    desk: Desk,
    position: Position,
    bags: Mapping[str, tuple[str, ...]],
    alike: Mapping[str, tuple[str, ...]],
    counts: UseCounts,
) -> PositionLine:
    now = whereabouts(position, desk.book)
    return PositionLine(
        id=position.id,
        where=position.where,
        side=position.side,
        sets=position.sets,
        pieces=now.planned,
        secured=now.secured,
        loose=now.loose,
        own_hole=now.own_hole,
        missing=now.missing,
        off=now.off,
        loosen_only=position.loosen_only,
        bags=bags.get(position.id, ()),
        parts=part_lines(desk, position, alike, counts),
        count_as_found=position.uncounted,
        on_arrival=arrivals(desk.state).get(position.id, ""),
        repaired=repairs(desk.state).get(position.id, ""),
        rests=rests_at(desk, position.id),
        carried=carried_words(desk, position),
    )


def part_lines(
    desk: Desk, position: Position, alike: Mapping[str, tuple[str, ...]], counts: UseCounts
) -> tuple[PartLine, ...]:
    """The parts of one set, in stack order, each with its rule and what it is confused with."""
    return tuple(
        PartLine(
            part=item.part,
            called=called(desk, item.part),
            per_set=item.per_set,
            rule=item.rule.value,
            rule_words=rule_words(item),
            looks_like=look_alike_words(item.part, alike.get(item.part, ()), desk.parts),
            accepts=tuple(accepted_words(desk, item, one) for one in item.accepts),
            uses=uses_at(counts, position, item),
        )
        for item in position.stack
    )
