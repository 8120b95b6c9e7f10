"""Hold points as lists show them: what each asks for, whether it stands, and what it waits for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.cautions import hold_cautions
from partsvc.domain.desk import Desk
from partsvc.domain.effects import HoldPassed
from partsvc.domain.hold_gates import NUMBER_OF
from partsvc.domain.plan import Hold, Reading
from partsvc.domain.records import Says
from partsvc.domain.site_time import local_words, minutes_until
from partsvc.domain.standing import lapse_words, standing
from partsvc.domain.under_holds import wait_over_at


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingAsked:
    """A reading that is asked for, in `unit`; the figures not to be passed are the maker's."""

    name: str
    unit: str = ""
    limit: str = ""
    at_least: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldLine:
    """A hold point: whether it was passed, and whether it still stands now.

    `lapsed` says why and when it stands no longer, `good_until` when it will stand no longer;
    `waits` how long it is not to be passed yet, and `wait_over_at` when that is over.
    """

    id: str
    title: str
    when: str
    passed: bool
    stands: bool = False
    asks: tuple[str, ...] = ()
    witness: bool = False
    passed_by: str = ""
    passed_at: str = ""
    readings: str = ""
    qualified: str = ""
    lapsed: str = ""
    good_until: str = ""
    per_person: bool = False
    passed_for: tuple[str, ...] = ()
    waits: str = ""
    wait_over_at: str = ""
    close_up: bool = False
    cautions: tuple[str, ...] = ()
    wants: Annotated[tuple[ReadingAsked, ...], Says("the readings it asks for")] = ()
    uses: Annotated[tuple[str, ...], Says("the kinds of equipment whose numbers it asks for")] = ()
    instrument: Annotated[bool, Says("the instrument is proved before and after")] = False


def hold_line(desk: Desk, hold: Hold) -> HoldLine:
    """A hold point with what was recorded when it was passed, and how it stands now."""
    happened = desk.state.holds.get(hold.id)
    now = standing(desk, hold, at=desk.now)
    over_at, waits = _waits(desk, hold)
    return HoldLine(
        id=hold.id,
        title=hold.title,
        when=hold.when.value,
        passed=happened is not None,
        stands=now.stands,
        asks=(*map(_asked, hold.readings), *(NUMBER_OF[kind] for kind in hold.equipment)),
        witness=hold.witness,
        qualified=hold.qualified,
        passed_by=happened.by if happened else "",
        passed_at=happened.at if happened else "",
        readings=getattr(happened.effect, "readings", "") if happened else "",
        lapsed=lapse_words(desk, now) if now.lapsed else "",
        good_until=now.good_until,
        per_person=hold.per_person,
        passed_for=_passed_for(desk, hold) if hold.per_person else (),
        waits=waits,
        wait_over_at=over_at,
        close_up=hold.close_up,
        cautions=hold_cautions(hold),
        wants=readings_asked(hold.readings),
        uses=tuple(kind.value for kind in hold.uses),
        instrument=hold.instrument,
    )


def readings_asked(readings: Iterable[Reading]) -> tuple[ReadingAsked, ...]:
    """Each reading of the plan, as a list asks for it."""
    return tuple(
        ReadingAsked(name=one.name, unit=one.unit, limit=one.limit, at_least=one.at_least)
        for one in readings
    )


def _asked(reading: Reading) -> str:
    least = f"at least {reading.at_least} {reading.unit}".strip() if reading.at_least else ""
    named = f"{reading.name} {reading.unit}".strip()
    return f"{named}, {least}" if least else named


def _passed_for(desk: Desk, hold: Hold) -> tuple[str, ...]:
    """For whom it stands now, by their ids."""
    passed = {item.by for item, said in desk.state.each(HoldPassed) if said.hold == hold.id}
    found = (by for by in passed if standing(desk, hold, at=desk.now, by=by).stands)
    return tuple(sorted(found))


def _waits(desk: Desk, hold: Hold) -> tuple[str, str]:
    """When the time before it is over, and in words how much of it is left."""
    first = desk.plan.step_of.get(hold.wait_after)
    if not hold.wait_minutes or first is None:
        return "", ""
    over_at = wait_over_at(desk, hold)
    if not over_at:
        return "", f"{hold.wait_minutes} minutes after step {first.number}"
    left = minutes_until(desk.now, over_at) if desk.now else 0
    until = local_words(over_at, desk.zone)
    return over_at, f"{left} minutes left, until {until}" if left else ""
