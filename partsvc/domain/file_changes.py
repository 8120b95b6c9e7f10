"""What a file would change, in words: said before it is taken in, and again afterwards."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields

from partsvc.domain.parts import Part
from partsvc.domain.plan import Plan, Step
from partsvc.domain.records import encode


def part_changes(parts: Iterable[Part], known: Mapping[str, Part]) -> tuple[str, ...]:
    """Each part that is new or changed, with what changed; parts not in the file stay."""
    found = (
        _part_change(part, known.get(part.number))
        for part in parts
        if part != known.get(part.number)
    )
    return tuple(found)


def _part_change(part: Part, old: Part | None) -> str:
    if old is None:
        return f"part {part.number}: new"
    changed = ", ".join(
        f"{item.name} {_said(getattr(old, item.name))} becomes {_said(getattr(part, item.name))}"
        for item in fields(part)
        if getattr(old, item.name) != getattr(part, item.name)
    )
    return f"part {part.number}: {changed}"


def _said(value: object) -> str:
    return "nothing" if value in ("", None) else f"“{value}”"


def plan_changes(plan: Plan, old: Plan | None) -> tuple[str, ...]:
    """Each step that is new, changed or gone against the newest revision."""
    if old is None:
        return (f"procedure {plan.key}: new",)
    return (*_heading(plan, old), *_step_changes(plan, old))


def _heading(plan: Plan, old: Plan) -> Iterator[str]:
    for name in ("title", "assembly", "cautions"):
        if getattr(plan, name) != getattr(old, name):
            yield f"procedure {plan.key}: other {name}"


def _step_changes(plan: Plan, old: Plan) -> Iterator[str]:
    for step in plan.steps:
        before = old.step_of.get(step.id)
        if before is None:
            yield f"step {step.number} ({step.id}): new"
        elif before != step:
            yield f"step {step.number} ({step.id}): other {', '.join(_members(step, before))}"
    for step in old.steps:
        if step.id not in plan.step_of:
            yield f"step {step.number} ({step.id}): gone"
    if _common(plan, old) != _common(old, plan):
        yield "the steps stand in another order"


def _common(plan: Plan, other: Plan) -> list[str]:
    return [step.id for step in plan.steps if step.id in other.step_of]


def _members(step: Step, before: Step) -> Iterator[str]:
    for item in fields(step):
        if item.name == "positions":
            yield from _position_changes(step, before)
        elif getattr(step, item.name) != getattr(before, item.name):
            yield item.name


def _position_changes(step: Step, before: Step) -> Iterator[str]:
    new = {position.id: encode(position) for position in step.positions}
    old = {position.id: encode(position) for position in before.positions}
    yield from (f"position {name}" for name in new if name in old and new[name] != old[name])
    yield from (f"position {name} (new)" for name in new if name not in old)
    yield from (f"position {name} (gone)" for name in old if name not in new)
    if new == old and step.positions != before.positions:
        yield "order of its positions"
