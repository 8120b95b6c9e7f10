"""Two revisions of a procedure side by side: every single thing that reads otherwise, in its place.

What a file would change is said step by step in `file_changes`; here stands what it was and what
it is, so that a person can judge it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from partsvc.domain.plan import Plan, Step
from partsvc.domain.records import Plain, encode

#: What is told apart by the word in it, wherever in its list it stands.
_NAMED_BY = ("id", "part", "number", "name", "what")


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One thing that reads otherwise: where in its step, what it was, what it is; empty if not."""

    where: tuple[str, ...]
    before: str
    after: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StepCompared:
    """What became of one step: new, gone, or changed in these things."""

    number: int
    title: str
    what: str
    differences: tuple[Difference, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PlansCompared:
    """All that differs between two plans; `moved` are steps that stand in another order."""

    heading: tuple[Difference, ...]
    steps: tuple[StepCompared, ...]
    moved: bool

    @property
    def same(self) -> bool:
        """Whether nothing differs at all."""
        return not (self.heading or self.steps or self.moved)


def compare_plans(before: Plan, after: Plan) -> PlansCompared:
    """What differs, in the order of the later plan; steps that are gone come last."""
    found = [
        compared
        for step in after.steps
        if (compared := _step(before.step_of.get(step.id), step)) is not None
    ]
    gone = [
        StepCompared(number=step.number, title=step.title, what="gone")
        for step in before.steps
        if step.id not in after.step_of
    ]
    return PlansCompared(
        heading=tuple(_heading(before, after)),
        steps=(*found, *gone),
        moved=_order(before, after) != _order(after, before),
    )


def _order(plan: Plan, other: Plan) -> list[str]:
    return [step.id for step in plan.steps if step.id in other.step_of]


def _heading(before: Plan, after: Plan) -> Iterator[Difference]:
    was, now = (
        {"title": one.title, "assembly": one.assembly, "cautions": encode(one.cautions)}
        for one in (before, after)
    )
    return _differences(was, now, ())


def _step(before: Step | None, after: Step) -> StepCompared | None:
    if before is None:
        return StepCompared(number=after.number, title=after.title, what="new")
    found = tuple(_differences(encode(before), encode(after), ()))
    if not found:
        return None
    return StepCompared(number=after.number, title=after.title, what="changed", differences=found)


def _differences(was: Plain, now: Plain, where: tuple[str, ...]) -> Iterator[Difference]:
    if was == now:
        return
    if isinstance(was, dict) and isinstance(now, dict):
        yield from _of_members(was, now, where)
    elif _are_records(was) and _are_records(now):
        yield from _of_members(_by_name(was), _by_name(now), where)
    else:
        yield Difference(where=where, before=_words(was), after=_words(now))


def _of_members(
    was: Mapping[str, Plain], now: Mapping[str, Plain], where: tuple[str, ...]
) -> Iterator[Difference]:
    names = dict.fromkeys((*now, *was))
    found = [
        difference
        for name in names
        for difference in _differences(was.get(name), now.get(name), (*where, name))
    ]
    yield from found
    both = [name for name in was if name in now], [name for name in now if name in was]
    if not found and both[0] != both[1]:
        yield Difference(where=where, before=", ".join(both[0]), after=", ".join(both[1]))


def _are_records(value: Plain) -> bool:
    """Whether this is a list of things with names of their own; nothing at all is one too."""
    return value is None or (
        isinstance(value, list) and all(isinstance(one, dict) for one in value)
    )


def _by_name(value: Plain) -> dict[str, Plain]:
    found: dict[str, Plain] = {}
    for n, one in enumerate(value if isinstance(value, list) else [], start=1):
        assert isinstance(one, dict)
        name = next((str(one[key]) for key in _NAMED_BY if key in one), str(n))
        # The same part twice in one stack is told apart by its turn.
        found[name if name not in found else f"{name} ({n})"] = one
    return found


def _words(value: Plain) -> str:
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case dict():
            return "; ".join(f"{name} {_words(one)}" for name, one in value.items() if name != "id")
        case list():
            return " / ".join(map(_words, value))
        case _:
            return str(value)
