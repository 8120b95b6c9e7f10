"""Which steps can be started now, and what each of the others waits for.

The gates themselves are asked, on a draft that writes down every objection instead of stopping at
the first: so what is said here is what an act would meet. Beside the gates, a step of the refit
waits for pieces that are in no bag yet; the order line says when they are promised.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum

from partsvc.domain.desk import Desk, Doing, Draft
from partsvc.domain.gates import may_refit, may_strip
from partsvc.domain.job_facts import JobFacts
from partsvc.domain.lacking import Coming, PartLacking, lacking_parts
from partsvc.domain.look import called
from partsvc.domain.plan import Step
from partsvc.domain.progress import still_on
from partsvc.domain.refit_list import RefitList, RefitStep
from partsvc.domain.stopping import stop_words
from partsvc.domain.strip_list import StepState, step_state
from partsvc.errors import Member


class Way(StrEnum):
    """Taking apart or putting back."""

    STRIP = "strip"
    REFIT = "refit"


class WaitsFor(StrEnum):
    """What a step can wait for."""

    HOLD = "hold"
    STEP = "step"
    PART = "part"
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wait:
    """One thing a step waits for; of a part, how many, and when they are promised."""

    kind: WaitsFor
    words: str
    hold: str = ""
    step: str = ""
    step_number: int = 0
    part: str = ""
    lacking: int = 0
    in_store: int = 0
    on_order: int = 0
    promised: str = ""
    late: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class StepStanding:
    """A step that is not finished, in one direction: what it waits for itself, and in the end.

    A step that can start may still wait for a part: then some of it can be done, not all.
    """

    id: str
    number: int
    title: str
    zone: str
    way: Way
    can_start: bool
    waits: tuple[Wait, ...]
    in_the_end: tuple[Wait, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitingList:
    """The steps that can be started now, and those that wait."""

    job: JobFacts
    can_start: tuple[StepStanding, ...]
    waiting: tuple[StepStanding, ...]


@dataclass(slots=True)
class Listening(Draft):
    """A draft that is never recorded: it notes what would be objected to, and goes on."""

    heard: list[tuple[str, str, Mapping[str, Member]]] = field(default_factory=list)

    def objection(self, rule: str, detail: str, **members: Member) -> None:
        """Note the objection."""
        self.heard.append((rule, detail, members))


Gate = Callable[[Draft, Step], None]


def waiting_list(
    job: JobFacts, desk: Desk, refit: RefitList, coming: Coming, doing: Doing
) -> WaitingList:
    """Every unfinished step both ways; `doing` is who asks and when, as for an act."""
    if job.state != "open":
        # Nothing is worked on a job that is closed, so nothing waits there either.
        return WaitingList(job=job, can_start=(), waiting=())
    strip = [_standing(desk, doing, step, Way.STRIP, positions=on) for step, on in _to_strip(desk)]
    lacking = lacking_parts(desk, refit, coming)
    back = [
        _standing(
            desk,
            doing,
            desk.plan.step_of[line.id],
            Way.REFIT,
            positions=[one.id for one in line.positions if one.to_fit or one.loose],
            parts=tuple(_part_wait(desk, line.number, one) for one in lacking.get(line.id, ())),
            something_there=_something_there(line),
        )
        for line in refit.steps
        if desk.came_off and not line.finished
    ]
    steps = [*_with_ends(strip), *_with_ends(back)]
    return WaitingList(
        job=job,
        can_start=tuple(step for step in steps if step.can_start),
        waiting=tuple(step for step in steps if not step.can_start),
    )


def _to_strip(desk: Desk) -> list[tuple[Step, list[str]]]:
    """The steps still to be taken apart, with where; what was off and is back is not."""
    found: list[tuple[Step, list[str]]] = []
    for step in desk.plan.steps:
        unfinished = step_state(desk, step) in (StepState.ON, StepState.STARTED)
        on = [position.id for position, _ in still_on(step, desk.book)]
        again = bool(on) and all(position in desk.came_off for position in on)
        if unfinished and not again:
            found.append((step, on))
    return found


def _standing(
    desk: Desk,
    doing: Doing,
    step: Step,
    way: Way,
    *,
    positions: Sequence[str],
    parts: tuple[Wait, ...] = (),
    something_there: bool = True,
) -> StepStanding:
    gate = may_strip if way is Way.STRIP else may_refit
    gates = _gate_waits(desk, doing, step, gate, positions)
    return StepStanding(
        id=step.id,
        number=step.number,
        title=step.title,
        zone=step.zone,
        way=way,
        can_start=not gates and something_there,
        waits=(*gates, *parts),
        in_the_end=(),
    )


def _gate_waits(
    desk: Desk, doing: Doing, step: Step, gate: Gate, positions: Sequence[str]
) -> tuple[Wait, ...]:
    """What stands in the way at every position that is to be worked; nothing if one is free."""
    stopped = stop_words(desk)
    if stopped:
        return (Wait(kind=WaitsFor.OTHER, words=stopped),)
    found: dict[Wait, None] = {}
    for position in positions or ("",):
        listening = Listening(desk=desk, doing=doing, book=desk.book)
        listening.about |= {"step": step.id, **({"position": position} if position else {})}
        gate(listening, step)
        if not listening.heard:
            return ()
        found |= dict.fromkeys(_gate_wait(desk, *one) for one in listening.heard)
    return tuple(found)


def _gate_wait(desk: Desk, rule: str, detail: str, members: Mapping[str, Member]) -> Wait:
    hold, first = str(members.get("hold", "")), str(members.get("first_step", ""))
    home = desk.plan.step_of.get(first)
    kind = WaitsFor.HOLD if hold else WaitsFor.STEP if first else WaitsFor.OTHER
    return Wait(
        kind=kind,
        words=detail,
        hold=hold,
        step=first,
        step_number=home.number if home else 0,
    )


def _part_wait(desk: Desk, number: int, one: PartLacking) -> Wait:
    words = [f"Step {number} lacks {one.lacking} {called(desk, one.part)}"]
    if one.in_store:
        words.append(f"{one.in_store} in the store: have them handed out")
    if one.on_order:
        day = f"promised for {one.promised}" if one.promised else "no day promised"
        words.append(f"{one.on_order} on order, {day}{', late' if one.late else ''}")
    if one.not_ordered:
        words.append(f"{one.not_ordered} not ordered")
    return Wait(
        kind=WaitsFor.PART,
        words="; ".join(words) + ".",
        part=one.part,
        lacking=one.lacking,
        in_store=one.in_store,
        on_order=one.on_order,
        promised=one.promised,
        late=one.late,
    )


def _something_there(line: RefitStep) -> bool:
    """Whether anything of a step can be done with what is there: fitted, secured, ticked, taken."""
    pieces = any(position.sources or position.loose for position in line.positions)
    ticks = line.needs_tick and not line.ticked
    rest = any(one.on_vehicle for one in line.take_off) or any(
        not hold.passed for hold in line.holds
    )
    alone = not line.positions and any(not one.applied for one in line.applications)
    return pieces or ticks or rest or alone


def _with_ends(steps: Sequence[StepStanding]) -> list[StepStanding]:
    """Each step with the holds and parts that it waits for in the end, through other steps."""
    by_id = {step.id: step for step in steps}

    def ends(name: str, seen: frozenset[str]) -> dict[Wait, None]:
        found: dict[Wait, None] = {}
        step = by_id.get(name)
        if step is None or name in seen:
            return found
        for wait in step.waits:
            if wait.kind is WaitsFor.STEP:
                found |= ends(wait.step, seen | {name})
            else:
                found[wait] = None
        return found

    return [replace(step, in_the_end=tuple(ends(step.id, frozenset()))) for step in steps]
