"""Which other numbers fit where one is planned: by the catalogue, and by what was said here.

The catalogue speaks in one direction only: a successor stands for what it supersedes, never the
old number for the new one, unless somebody says so for this vehicle and names the source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from partsvc.domain.effects import Effect
from partsvc.domain.effects_numbers import NumberAccepted, NumberRefused
from partsvc.domain.parts import Part
from partsvc.domain.plan import AcceptedNumber, Plan, Position, StackItem, Step

Said = Mapping[tuple[str, str, str], NumberAccepted | NumberRefused]


def accepting(plan: Plan, effects: Iterable[Effect], parts: Mapping[str, Part]) -> Plan:
    """The plan with every number that is accepted at its positions, each with its source."""
    said = _last_words(effects)
    if not said and not any(part.superseded_by or part.captive for part in parts.values()):
        return plan
    steps = tuple(_step(step, said, parts) for step in plan.steps)
    return plan if steps == plan.steps else replace(plan, steps=steps)


def source_words(said: NumberAccepted | NumberRefused) -> str:
    """Who says so; of an earlier job of this vehicle, with its number."""
    if said.before is None:
        return said.source
    how = "accepted" if isinstance(said, NumberAccepted) else "not taken"
    return f"{how} on this vehicle before, job {said.before}: {said.source}"


def successors(part: str, parts: Mapping[str, Part]) -> Iterator[tuple[str, str]]:
    """The numbers that took a part's place one after another, each with its source in words."""
    seen = {part}
    while part in parts and parts[part].superseded_by not in ("", *seen):
        following = parts[part].superseded_by
        seen.add(following)
        after = "" if len(seen) == 2 else f", after {part}"
        yield following, f"superseded by {following} in the catalogue{after}"
        part = following


def _last_words(effects: Iterable[Effect]) -> Said:
    return {
        (said.position, said.part, said.number): said
        for said in effects
        if isinstance(said, NumberAccepted | NumberRefused)
    }


def _step(step: Step, said: Said, parts: Mapping[str, Part]) -> Step:
    positions = tuple(_position(position, said, parts) for position in step.positions)
    return step if positions == step.positions else replace(step, positions=positions)


def _position(position: Position, said: Said, parts: Mapping[str, Part]) -> Position:
    stack = tuple(_line(position.id, item, said, parts) for item in position.stack)
    stack = tuple(_with_riders(item, stack, parts) for item in stack)
    return position if stack == position.stack else replace(position, stack=stack)


def _line(position: str, item: StackItem, said: Said, parts: Mapping[str, Part]) -> StackItem:
    found = {one.number: one.source for one in item.accepts if not one.comes_with}
    for (where, part, number), words in said.items():
        if (where, part) == (position, item.part) and isinstance(words, NumberAccepted):
            found[number] = source_words(words)
    for known in (item.part, *found):
        for number, source in successors(known, parts):
            found.setdefault(number, source)
    for number in (item.part, *found):
        if isinstance(said.get((position, item.part, number)), NumberRefused):
            found.pop(number, None)
    names = (item.part, *found)
    accepts = tuple(
        AcceptedNumber(number=number, source=source, covers=_holds(number, names, parts) or 1)
        for number, source in found.items()
        if number != item.part and not is_kit(parts.get(number))
    )
    return replace(item, accepts=accepts)


def _with_riders(
    item: StackItem, stack: tuple[StackItem, ...], parts: Mapping[str, Part]
) -> StackItem:
    """The line with what comes along, captive, on the accepted pieces of the other lines."""
    riders = tuple(
        AcceptedNumber(
            number=one.number,
            source=f"held captive by {one.number}",
            covers=holds,
            comes_with=other.part,
        )
        for other in stack
        for one in other.accepts
        if other.part != item.part
        and one.number not in item.numbers
        and not one.comes_with
        and (holds := _holds(one.number, item.numbers, parts))
    )
    return replace(item, accepts=(*item.accepts, *riders)) if riders else item


def _holds(number: str, names: tuple[str, ...], parts: Mapping[str, Part]) -> int:
    """How many pieces of these names one assembled piece of that number is made of."""
    part = parts.get(number)
    if part is None or not part.captive:
        return 0
    return sum(one.quantity for one in part.contents if one.part in names)


def is_kit(part: Part | None) -> bool:
    """Whether a number is a kit: ordered as one, and unpacked when it is handed out."""
    return part is not None and bool(part.contents) and not part.captive
