"""What is known of this one vehicle beside its plan: not there, other, left out, repaired."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from partsvc.domain.accepted_numbers import source_words
from partsvc.domain.desk import Desk
from partsvc.domain.effects_numbers import NumberAccepted, NumberRefused
from partsvc.domain.effects_variants import ArrivedOff, Differing, NotApplying, NotDone, Repaired
from partsvc.domain.job_state import Happened, JobState
from partsvc.domain.parts import part_words
from partsvc.domain.places import PlaceKind

HOW_WORDS = {
    PlaceKind.BAG.value: "off on arrival",
    PlaceKind.LOOSE.value: "loose on arrival",
    PlaceKind.OWN_HOLE.value: "finger-tight on arrival",
    PlaceKind.MISSING.value: "missing on arrival",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class OfThisVehicle:
    """One thing that is otherwise on this vehicle than in its procedure, in words."""

    what: str
    where: str
    words: str
    step: str = ""
    step_number: int = 0
    position: str = ""


def left_out(state: JobState) -> Mapping[str, str]:
    """The steps that were recorded as not done and not done since, with their reasons."""
    found: dict[str, str] = {}
    for happened, said in state.each(NotDone):
        done = state.done.get(said.step)
        if done is None or done.seq < happened.seq:
            found[said.step] = said.reason
    return found


def repairs(state: JobState) -> Mapping[str, str]:
    """What was repaired at each position, in words."""
    found: dict[str, str] = {}
    for _, said in state.each(Repaired):
        before = found.get(said.position)
        found[said.position] = f"{before}; {said.words}" if before else said.words
    return found


def settled(state: JobState) -> frozenset[str]:
    """The acts whose remark was settled by a repair."""
    return frozenset(said.settles for _, said in state.each(Repaired) if said.settles)


def arrivals(state: JobState) -> Mapping[str, str]:
    """The positions that were off when the vehicle came, and how, in words."""
    return {
        said.position: f"{HOW_WORDS[said.how]}: {said.words}" for _, said in state.each(ArrivedOff)
    }


def not_on_this_vehicle(state: JobState) -> tuple[OfThisVehicle, ...]:
    """The positions and steps this vehicle does not have, each with its reason."""
    return tuple(
        OfThisVehicle(
            what="not on this vehicle",
            where=said.where,
            words=said.reason,
            step=said.step,
            step_number=said.step_number,
            position=said.position,
        )
        for _, said in state.each(NotApplying)
    )


def of_this_vehicle(desk: Desk) -> tuple[OfThisVehicle, ...]:
    """All that is otherwise than planned: not there, other, off on arrival, left out, repaired."""
    state = desk.state
    at_position = [
        *(
            (said.position, "differs", f"{said.words}: {said.reason}")
            for _, said in state.each(Differing)
        ),
        *((position, "arrival", words) for position, words in arrivals(state).items()),
        *((position, "repaired", words) for position, words in repairs(state).items()),
        *_other_numbers(desk),
    ]
    return (
        *not_on_this_vehicle(state),
        *(_at_position(desk, position, what, words) for position, what, words in at_position),
        *(_at_step(desk, step, reason) for step, reason in left_out(state).items()),
    )


def _other_numbers(desk: Desk) -> list[tuple[str, str, str]]:
    """The last word on every number that was accepted here, or is not taken here."""
    both: list[tuple[Happened, NumberAccepted | NumberRefused]] = [
        *desk.state.each(NumberAccepted),
        *desk.state.each(NumberRefused),
    ]
    both.sort(key=lambda one: one[0].seq)
    last = {(said.position, said.part, said.number): said for _, said in both}
    return [
        (
            said.position,
            "number accepted" if isinstance(said, NumberAccepted) else "number not taken",
            f"{part_words(said.number, desk.parts.get(said.number))} for {said.part}: "
            f"{source_words(said)}",
        )
        for said in last.values()
    ]


def _at_position(desk: Desk, position: str, what: str, words: str) -> OfThisVehicle:
    step = desk.plan.home_step.get(position)
    found = desk.plan.positions.get(position)
    return OfThisVehicle(
        what=what,
        where=found.where if found else position,
        words=words,
        step=step.id if step else "",
        step_number=step.number if step else 0,
        position=position,
    )


def _at_step(desk: Desk, ident: str, reason: str) -> OfThisVehicle:
    step = desk.plan.step_of.get(ident)
    return OfThisVehicle(
        what="not done",
        where=step.title if step else ident,
        words=reason,
        step=ident,
        step_number=step.number if step else 0,
    )
