"""Where a trail can begin: every position of a job by zone, and what a searcher may mean."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace

from partsvc.domain.acts.codes import read_code
from partsvc.domain.desk import Desk
from partsvc.domain.job_facts import JobFacts
from partsvc.domain.look import called
from partsvc.domain.strip_list import StepLine, strip_list
from partsvc.errors import Mistyped
from partsvc.store import keeping
from partsvc.work.facts import job_desk, job_row
from partsvc.work.job_view import job_facts
from partsvc.work.service import Service


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneOfSteps:
    """The steps of one zone of the vehicle, in plan order."""

    zone: str
    steps: tuple[StepLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacesToFollow:
    """All positions of a job by zone, or those that fit what was looked for.

    `goes` is set when just one thing was meant: the kind of trail and its name.
    """

    job: JobFacts
    wanted: str
    zones: tuple[ZoneOfSteps, ...]
    parts: tuple[tuple[str, str], ...] = ()
    goes: tuple[str, str] | None = None


def places_to_follow(service: Service, job: str, wanted: str = "") -> PlacesToFollow:
    """Where a trail can begin: each position, or what fits a number, a code or some words."""
    wanted = " ".join(wanted.split())
    with service.database.reading() as db:
        row = job_row(service, db, job)
        desk = job_desk(service, db, row)
        tags = {tag["code"] for tag in keeping.tags_of_job(db, service.site, row["id"])}
    facts = job_facts(row)
    return PlacesToFollow(
        job=facts,
        wanted=wanted,
        zones=_by_zone(strip_list(facts, desk).steps, wanted.casefold()),
        parts=tuple(_parts(desk, wanted.casefold())) if wanted else (),
        goes=_meant(desk, tags, wanted),
    )


def _meant(desk: Desk, tags: set[str], wanted: str) -> tuple[str, str] | None:
    position = next((one for one in desk.plan.positions if one.casefold() == wanted.casefold()), "")
    if position:
        return "position", position
    part = next((one for one in desk.parts if one.casefold() == wanted.casefold()), "")
    if part:
        return "part", part
    try:
        code = read_code(wanted) if wanted else ""
    except Mistyped:
        return None
    return ("bag", code) if code in tags else None


def _parts(desk: Desk, wanted: str) -> list[tuple[str, str]]:
    held = {held.part for held in desk.book.holdings()}
    named = {part: called(desk, part) for part in sorted(held)}
    return [(part, name) for part, name in named.items() if wanted in name.casefold()]


def _by_zone(steps: tuple[StepLine, ...], wanted: str) -> tuple[ZoneOfSteps, ...]:
    zones: dict[str, list[StepLine]] = defaultdict(list)
    for step in steps:
        found = _fitting(step, wanted)
        if found.positions:
            zones[step.zone].append(found)
    return tuple(ZoneOfSteps(zone=zone, steps=tuple(own)) for zone, own in zones.items())


def _fitting(step: StepLine, wanted: str) -> StepLine:
    """The step with those of its positions that fit; all of them where the step itself does."""
    own = (str(step.number), step.id.casefold())
    if not wanted or wanted in own or wanted in f"{step.title} {step.zone}".casefold():
        return step
    fits = tuple(
        one
        for one in step.positions
        if wanted
        in " ".join((one.id, one.where, *one.bags, *(part.called for part in one.parts))).casefold()
    )
    return replace(step, positions=fits)
