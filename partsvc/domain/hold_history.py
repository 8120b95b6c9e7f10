"""The passings of a hold point as a checker reads them: each reading against its limit, who, when.

Limits are the maker's as the plan states them; whether a reading kept to its limit is compared
here, and nothing else is computed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from partsvc.domain.desk import Desk
from partsvc.domain.effects import HoldPassed
from partsvc.domain.hold_lines import HoldLine, hold_line
from partsvc.domain.plan import Hold, Reading
from partsvc.domain.trail_lines import ActTold


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingTaken:
    """A reading as it was written down, with its limit; without a value it was not taken.

    `kept` says whether it kept to its limit; None where there is none.
    """

    name: str
    value: str
    unit: str
    limit: str
    at_least: str
    kept: bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Passing:
    """One passing of a hold point: the readings, who, who stood by, with what, and when."""

    seq: int
    at: str
    by: str
    witness: str
    device: str
    equipment: tuple[str, ...]
    readings: tuple[ReadingTaken, ...]
    photos: tuple[str, ...]
    undone: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldHistory:
    """A hold point of a step with all its passings, oldest first, and how it stands now."""

    step: str
    step_number: int
    step_title: str
    high_voltage: bool
    line: HoldLine
    passings: tuple[Passing, ...]


def hold_histories(desk: Desk, acts: Iterable[ActTold]) -> tuple[HoldHistory, ...]:
    """All hold points of the plan in its order."""
    by_hold: dict[str, list[Passing]] = {}
    for act in acts:
        for effect in act.effects:
            if isinstance(effect, HoldPassed):
                passing = _passing(desk, act, effect)
                by_hold.setdefault(effect.hold, []).append(passing)
    return tuple(
        HoldHistory(
            step=step.id,
            step_number=step.number,
            step_title=step.title,
            high_voltage=hold.high_voltage,
            line=hold_line(desk, hold),
            passings=tuple(by_hold.get(hold.id, ())),
        )
        for step, hold in desk.plan.holds.values()
    )


def _passing(desk: Desk, act: ActTold, said: HoldPassed) -> Passing:
    request = act.said.get("request")
    sent: Mapping[str, object] = request if isinstance(request, Mapping) else {}
    found = desk.plan.holds.get(said.hold)
    photos = sent.get("photos")
    return Passing(
        seq=act.seq,
        at=act.done_at,
        by=desk.names.get(act.by, act.by),
        witness=desk.names.get(said.witness, said.witness),
        device=act.device,
        equipment=tuple(filter(None, (said.instrument, said.gloves, said.lift))),
        readings=tuple(_readings(sent.get("values"), found[1] if found else None)),
        photos=tuple(map(str, photos)) if isinstance(photos, Sequence) else (),
        undone=bool(act.undone_by),
    )


def _readings(values: object, hold: Hold | None) -> Iterator[ReadingTaken]:
    """What was written down, then what was asked for and not taken."""
    asked = {one.name.casefold(): one for one in hold.readings} if hold else {}
    for one in values if isinstance(values, list) else []:
        name, value = str(one.get("name", "")), str(one.get("value", ""))
        limits = asked.pop(name.casefold(), None)
        yield _taken(limits or Reading(name=name), value, str(one.get("unit") or ""))
    for missed in asked.values():
        yield _taken(missed, "", "")


def _taken(asked: Reading, value: str, unit: str) -> ReadingTaken:
    return ReadingTaken(
        name=asked.name,
        value=value,
        unit=unit or asked.unit,
        limit=asked.limit,
        at_least=asked.at_least,
        kept=_kept(value, asked),
    )


def _kept(value: str, asked: Reading) -> bool | None:
    if not value:
        return False
    if not (asked.limit or asked.at_least):
        return None
    read = Decimal(value)
    low = not asked.at_least or read >= Decimal(asked.at_least)
    # The sign only tells which way round the probes were held.
    return low and (not asked.limit or abs(read) <= Decimal(asked.limit))
