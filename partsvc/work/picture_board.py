"""The pictures of a job on one page, how far its zones are, and what is tapped on a photo at hand.

Each is read at one moment: what a photo shows and what the bars say must not contradict each other.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from partsvc.domain.job_facts import JobFacts
from partsvc.domain.plan import Plan
from partsvc.domain.zone_progress import PiecesNow, ZoneProgress, in_all, zones
from partsvc.errors import NotFound
from partsvc.work.facts import job_desk, job_row
from partsvc.work.job_view import job_facts
from partsvc.work.pictures import StepPicture, by_step, pictures_at
from partsvc.work.service import Service

MOST_AT_A_STEP = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class StepWithPictures:
    """A step and its photos, those with spots first."""

    id: str
    number: int
    title: str
    zone: str
    pictures: tuple[StepPicture, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureBoard:
    """All that a job's page of pictures shows."""

    job: JobFacts
    zones: tuple[ZoneProgress, ...]
    now: PiecesNow
    holds_open: int
    steps: tuple[StepWithPictures, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceToTap:
    """A position that a spot may belong to."""

    id: str
    where: str
    sets: int
    step: str
    step_number: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TappingBench:
    """A step at hand for tapping: its photos, the one chosen, and all positions, its own first."""

    job: JobFacts
    step: StepWithPictures
    chosen: StepPicture | None
    places: tuple[PlaceToTap, ...]


def picture_board(service: Service, job: str) -> PictureBoard:
    """The pictures of a job, and how far it is by zone."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        desk = job_desk(service, db, row, look_back=True)
        found = by_step(pictures_at(service, db, desk), most=MOST_AT_A_STEP)
    by_zone = zones(desk)
    return PictureBoard(
        job=job_facts(row),
        zones=by_zone,
        now=in_all(zone.now for zone in by_zone),
        holds_open=sum(zone.holds_open for zone in by_zone),
        steps=tuple(_step(desk.plan, step.id, found) for step in desk.plan.steps),
    )


def tapping_bench(service: Service, job: str, step: str, *, photo: str = "") -> TappingBench:
    """What tapping on a photo of a step needs at hand; the newest photo if none is chosen."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        desk = job_desk(service, db, row)
        found = by_step(pictures_at(service, db, desk), most=MOST_AT_A_STEP)
    if step not in desk.plan.step_of:
        raise NotFound(f"There is no step {step} on this job. Go back to its pictures.", step=step)
    own = _step(desk.plan, step, found)
    every = [
        PlaceToTap(
            id=one.id, where=one.where, sets=one.sets, step=other.id, step_number=other.number
        )
        for other in desk.plan.steps
        for one in other.positions
    ]
    return TappingBench(
        job=job_facts(row),
        step=own,
        chosen=next((one for one in own.pictures if photo in ("", one.hash)), None),
        places=tuple(sorted(every, key=lambda place: place.step != step)),
    )


def _step(plan: Plan, ident: str, found: Mapping[str, list[StepPicture]]) -> StepWithPictures:
    step = plan.step_of[ident]
    return StepWithPictures(
        id=step.id,
        number=step.number,
        title=step.title,
        zone=step.zone,
        pictures=tuple(found.get(step.id, ())),
    )
