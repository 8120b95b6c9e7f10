"""What a person must know of a part to take the right one: its rule, and its look-alikes."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping

from partsvc.domain.desk import Desk
from partsvc.domain.lookalike import Shape, difference, groups
from partsvc.domain.parts import RULE_WORDS, Part, Rule, part_words
from partsvc.domain.plan import AcceptedNumber, Plan, StackItem

# Parts of these kinds are told apart by size and finish; covers and hoses by where they belong.
CONFUSED = ("bolt", "screw", "nut", "washer", "stud", "clip", "clamp", "seal")


def shape_of(part: Part) -> Shape:
    """A part as the eye and the hand meet it."""
    return Shape(
        kind=part.kind.value,
        thread=part.thread,
        drive=part.drive,
        head=part.head,
        length_mm=part.length_mm,
        property_class=part.property_class,
        coating=part.coating,
    )


def look_alikes(plan: Plan, parts: Mapping[str, Part]) -> dict[str, tuple[str, ...]]:
    """For each part of the plan, the other parts of the plan it would be confused with."""
    used = {item.part for _, position in plan.each_position() for item in position.stack}
    found: dict[str, tuple[str, ...]] = {}
    for group in alike_among(used, parts):
        for number in group:
            found[number] = tuple(sorted(group - {number}))
    return found


def alike_among(numbers: Collection[str], parts: Mapping[str, Part]) -> tuple[frozenset[str], ...]:
    """The groups of these parts that a person would confuse with each other."""
    shapes = {
        number: shape_of(parts[number])
        for number in sorted(numbers)
        if number in parts and parts[number].kind.value in CONFUSED and parts[number].thread
    }
    return groups(shapes)


def look_alike_words(
    part: str, others: Iterable[str], parts: Mapping[str, Part]
) -> tuple[str, ...]:
    """How a part differs from each it would be confused with."""
    if part not in parts:
        return ()
    own = shape_of(parts[part])
    return tuple(
        f"{parts[other].name} ({other}): {difference(own, shape_of(parts[other]))}"
        for other in others
        if other in parts
    )


def rule_words(item: StackItem) -> str:
    """The reuse rule in words, as it stands on tags and lists."""
    words = RULE_WORDS[item.rule]
    if item.rule is Rule.LIMITED and item.max_uses:
        return f"{words} (at most {item.max_uses} uses)"
    if item.rule is Rule.INSPECT and item.criterion:
        return f"{words}: {item.criterion}"
    return words


def accepted_words(desk: Desk, item: StackItem, one: AcceptedNumber) -> str:
    """Another number that stands for a planned part, with who says so."""
    name = called(desk, one.number)
    if one.comes_with:
        return f"{name} brings {item.part} along: {one.source}"
    return f"{name} for {item.part}: {one.source}"


def called(desk: Desk, part: str) -> str:
    """What a person calls the part."""
    return part_words(part, desk.parts.get(part))
