"""An order line as people read it: what it is for, how far it is, what does not fit on it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from partsvc.domain.order_lines import (
    LineEvent,
    LineFacts,
    LineKind,
    LineNow,
    LineState,
    Noted,
    fold,
    plain,
    state_words,
)
from partsvc.domain.parts import Part, part_words
from partsvc.domain.plan import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class StepNamed:
    """A step that an order line's part is for."""

    id: str
    number: int
    title: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LiveLine:
    """Where an order line stands. Parts are counted in pieces, consumables in their own unit.

    `late` says that the promised day is past and not all of it has come.
    """

    id: str
    job: str
    kind: LineKind
    what: str
    called: str
    state: LineState
    words: str
    quantity: int
    delivered: int
    outstanding: int
    amount: str
    amount_delivered: str
    amount_outstanding: str
    unit: str
    reference: str
    promised: str
    late: bool
    marks: tuple[str, ...]
    steps: tuple[StepNamed, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class EventShown:
    """One thing noted on an order line, by whom and when."""

    n: int
    event: Noted
    by: str
    at: str
    amount: str
    reference: str
    promised: str
    came: str
    accepted: bool
    words: str
    act: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LineShown:
    """An order line with all that was noted on it."""

    line: LiveLine
    history: tuple[EventShown, ...]


def steps_for(plan: Plan) -> Mapping[str, tuple[StepNamed, ...]]:
    """For each part number and each consumable of a plan, the steps that want it."""
    found: dict[str, dict[str, StepNamed]] = defaultdict(dict)
    for step in plan.steps:
        named = StepNamed(id=step.id, number=step.number, title=step.title)
        for position in step.positions:
            for item in position.stack:
                for number in item.numbers:
                    found[number][step.id] = named
        for one in step.applications:
            found[one.what][step.id] = named
    return {what: tuple(steps.values()) for what, steps in found.items()}


def live_line(
    facts: LineFacts,
    now: LineNow,
    *,
    parts: Mapping[str, Part],
    steps: Mapping[str, tuple[StepNamed, ...]],
    today: str,
) -> LiveLine:
    """An order line with its state; `steps` as of `steps_for`, with successors named too."""
    counted = facts.kind is LineKind.PART
    return LiveLine(
        id=facts.id,
        job=facts.job,
        kind=facts.kind,
        what=facts.what,
        called=part_words(facts.what, parts.get(facts.what)) if counted else facts.what,
        state=now.state,
        words=state_words(now),
        quantity=int(now.asked) if counted else 0,
        delivered=int(now.delivered) if counted else 0,
        outstanding=int(now.outstanding) if counted else 0,
        amount="" if counted else plain(now.asked),
        amount_delivered="" if counted else plain(now.delivered),
        amount_outstanding="" if counted else plain(now.outstanding),
        unit=facts.unit,
        reference=now.reference,
        promised=now.promised,
        late=bool(now.promised and now.outstanding and now.promised < today),
        marks=now.marks,
        steps=_wanted_at(facts.what, parts, steps),
    )


def _wanted_at(
    what: str, parts: Mapping[str, Part], steps: Mapping[str, tuple[StepNamed, ...]]
) -> tuple[StepNamed, ...]:
    """The steps of a part, and of the older numbers whose place it takes."""
    found = {step.id: step for step in steps.get(what, ())}
    for number in steps:
        part = parts.get(number)
        seen = {number}
        while part is not None and part.superseded_by and part.superseded_by not in seen:
            seen.add(part.superseded_by)
            part = parts.get(part.superseded_by)
        if what in seen:
            found |= {step.id: step for step in steps[number]}
    return tuple(sorted(found.values(), key=lambda step: step.number))


def event_shown(event: LineEvent) -> EventShown:
    """What was noted, as people read it."""
    return EventShown(
        n=event.n,
        event=event.event,
        by=event.by,
        at=event.at,
        amount=plain(event.amount) if event.amount else "",
        reference=event.reference,
        promised=event.promised,
        came=event.came,
        accepted=event.accepted,
        words=event.words,
        act=event.act,
    )


def outstanding_parts(lines: Iterable[tuple[LineFacts, LineNow]]) -> Mapping[str, int]:
    """How many of each part are asked for or ordered and have not come yet."""
    found: dict[str, int] = defaultdict(int)
    for facts, now in lines:
        if facts.kind is LineKind.PART and now.outstanding:
            found[facts.what] += int(now.outstanding)
    return dict(found)


def folded(
    lines: Mapping[LineFacts, tuple[LineEvent, ...]],
) -> tuple[tuple[LineFacts, LineNow], ...]:
    """All lines, each with where it stands."""
    return tuple((facts, fold(events)) for facts, events in lines.items())
