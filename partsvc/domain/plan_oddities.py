"""What is legal in a procedure but odd: things a lead would rather hear of now than at the refit.

Nothing here stops a procedure. What is said about a torque is a doubt about the one that is
stated; no other is ever named.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal

from partsvc.domain import plan_walk as walk
from partsvc.domain.accepted_numbers import is_kit
from partsvc.domain.look import CONFUSED, shape_of
from partsvc.domain.lookalike import difference, groups
from partsvc.domain.parts import Part, PartKind, Rule, SpentAt
from partsvc.domain.placed import Mark, Placed
from partsvc.domain.plan import Hazard, Phase, Plan, Position, Record, Step
from partsvc.domain.precedence import ancestors
from partsvc.domain.threads import UnknownThread, read_thread
from partsvc.domain.tightening import doubtful

Parts = Mapping[str, Part]

#: More single pieces than this at one position are rarely meant.
MANY_PIECES = 300
_TIGHTENED = (PartKind.BOLT, PartKind.SCREW, PartKind.STUD)
_COUNTED = re.compile(r"\b1 (?:to|-|–) ([0-9]{1,4})\b")


def oddities(plan: Plan, parts: Parts) -> tuple[str, ...]:
    """What is odd about a procedure that can be worked, in words, each once."""
    found = (str(placed.fault()) for check in _CHECKS for placed in check(plan, parts))
    return tuple(dict.fromkeys(found))


def _doubtful_torques(plan: Plan, parts: Parts) -> Iterator[Placed]:
    for mark, position, stage in walk.stages(plan):
        if not stage.torque_nm or Decimal(stage.torque_nm) <= 0:
            continue
        for item in position.stack:
            doubt = _doubt(parts.get(item.part), Decimal(stage.torque_nm))
            if doubt:
                yield mark.says(f"{doubt} ({item.part})")


def _doubt(part: Part | None, torque_nm: Decimal) -> str | None:
    if part is None or part.kind not in _TIGHTENED:
        return None
    try:
        thread = read_thread(part.thread)
    except UnknownThread:
        return None
    return doubtful(thread, part.property_class, torque_nm)


def _torques_without_source(plan: Plan, _: Parts) -> Iterator[Placed]:
    for mark, _position, stage in walk.stages(plan):
        if (stage.torque_nm or stage.angle_deg) and not stage.source.strip():
            yield mark.says("a tightening value without a source; name the maker's document")


def _spent_but_reused(plan: Plan, parts: Parts) -> Iterator[Placed]:
    for mark, _, item in walk.stacked(plan):
        part = parts.get(item.part)
        if part and part.spent_at is not SpentAt.NEVER and item.rule is not Rule.REPLACE:
            yield mark.says(
                f"the catalogue says that it is spent at the first {part.spent_at}, "
                f"the rule here is {item.rule}"
            )


def _replaced_without_coming_off(plan: Plan, _: Parts) -> Iterator[Placed]:
    for mark, position, item in walk.stacked(plan):
        if position.loosen_only and item.rule is Rule.REPLACE:
            yield mark.says("the rule is replace, but it is only loosened here")


def _rules_half_said(plan: Plan, _: Parts) -> Iterator[Placed]:
    for mark, _position, item in walk.stacked(plan):
        if item.rule is Rule.INSPECT and not item.criterion.strip():
            yield mark.says("is to be inspected, but for what is not said")
        if item.max_uses is not None and item.rule is not Rule.LIMITED:
            yield mark.says(f"has a limit of uses, but the rule is {item.rule}")


def _superseded(plan: Plan, parts: Parts) -> Iterator[Placed]:
    for mark, _, item in walk.stacked(plan):
        part = parts.get(item.part)
        if part and part.superseded_by:
            yield mark.says(f"was superseded by {part.superseded_by}; new ones come as that")


def _kits_in_place(plan: Plan, parts: Parts) -> Iterator[Placed]:
    for mark, _, item in walk.stacked(plan):
        for number in (item.part, *(one.number for one in item.accepts)):
            if is_kit(parts.get(number)):
                yield mark.says(f"{number} is a kit; name what it holds, which is what is fitted")


def _temporary_in_place(plan: Plan, parts: Parts) -> Iterator[Placed]:
    for mark, _, item in walk.stacked(plan):
        part = parts.get(item.part)
        if part and part.kind is PartKind.TEMPORARY:
            yield mark.says("is a temporary item; list it as one, or it counts as belonging here")


def _look_alikes(plan: Plan, parts: Parts) -> Iterator[Placed]:
    for mark, step in walk.steps(plan):
        used = {item.part for position in step.positions for item in position.stack}
        shapes = {
            number: shape_of(parts[number])
            for number in sorted(used)
            if number in parts and parts[number].kind in CONFUSED
        }
        for group in groups(shapes):
            first, *others = sorted(group)
            for other in others:
                words = difference(shapes[other], shapes[first])
                yield mark.says(f"{other} is easily taken for {first} ({words})")


def _witness_on_high_voltage(plan: Plan, _: Parts) -> Iterator[Placed]:
    for mark, _step, hold in walk.holds(plan):
        if hold.high_voltage and not hold.witness:
            yield mark.says("high voltage, but no second person is asked for")
        if hold.high_voltage and hold.readings and not hold.instrument:
            yield mark.says("high voltage is measured, but the instrument's number is not asked")


def _hazard_without_words(plan: Plan, _: Parts) -> Iterator[Placed]:
    for mark, step in walk.steps(plan):
        if step.hazards and not step.cautions and not step.holds:
            yield mark.says(
                f"has a hazard ({_listed(step)}), but neither hold nor caution of its own"
            )


def _listed(step: Step) -> str:
    return ", ".join(step.hazards)


def _high_voltage_never_proved(plan: Plan, _: Parts) -> Iterator[Placed]:
    safe = {step.id for _, step, hold in walk.holds(plan) if hold.high_voltage}
    for mark, step in walk.steps(plan):
        before = {step.id, *ancestors(step.id, plan.strip_after)}
        if _opens_high_voltage(step) and not safe & before:
            yield mark.says("high voltage is opened, and no high-voltage hold comes before it")


def _opens_high_voltage(step: Step) -> bool:
    comes_off = bool(step.positions) and step.phase is not Phase.REFIT
    return comes_off and Hazard.HIGH_VOLTAGE in step.hazards


def _never_taken_off(plan: Plan, _: Parts) -> Iterator[Placed]:
    for mark, _step, item in walk.temporaries(plan):
        if not item.off_before:
            yield mark.says(f"before which step the {item.words} must be off is not said")


def _counts(plan: Plan, _: Parts) -> Iterator[Placed]:
    for mark, _step, position in walk.positions(plan):
        yield from _count(mark, position)


def _count(mark: Mark, position: Position) -> Iterator[Placed]:
    said = _COUNTED.search(position.where)
    if said and int(said[1]) != position.sets:
        yield mark.says(f"the words count 1 to {said[1]}, but sets is {position.sets}")
    if position.pieces() > MANY_PIECES:
        yield mark.says(f"{position.pieces()} single pieces in one position; is that so?")


def _critical_without_trace(plan: Plan, _: Parts) -> Iterator[Placed]:
    for mark, _step, position in walk.positions(plan):
        if position.critical and position.record is Record.NOTHING and not position.stages:
            yield mark.says("is critical, but nothing is written down when it is secured")


def _pieces_of_the_refit(plan: Plan, _: Parts) -> Iterator[Placed]:
    for mark, step, _position in walk.positions(plan):
        if step.phase is Phase.REFIT:
            yield mark.says("its step is refit-only, so nothing comes off here: all pieces are new")


_CHECKS: tuple[Callable[[Plan, Parts], Iterator[Placed]], ...] = (
    _doubtful_torques,
    _torques_without_source,
    _spent_but_reused,
    _replaced_without_coming_off,
    _rules_half_said,
    _superseded,
    _kits_in_place,
    _temporary_in_place,
    _look_alikes,
    _witness_on_high_voltage,
    _hazard_without_words,
    _high_voltage_never_proved,
    _never_taken_off,
    _counts,
    _critical_without_trace,
    _pieces_of_the_refit,
)
