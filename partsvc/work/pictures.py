"""The photos at the steps of a job, with what was tapped on them and how far that is by now."""

from __future__ import annotations

import json
import sqlite3
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.desk import Desk
from partsvc.domain.job_facts import JobFacts
from partsvc.domain.photo_marks import MarkLine, PhotoMark, broken_at, lines_of, marks_of
from partsvc.domain.photo_spots import SpottedPhoto, spotted_photos
from partsvc.domain.photo_subjects import Shows, words_of
from partsvc.domain.records import Between, Id, Says
from partsvc.store import photos
from partsvc.store.database import Row
from partsvc.work.facts import job_desk, job_row
from partsvc.work.job_view import job_facts
from partsvc.work.service import Service


@dataclass(frozen=True, slots=True, kw_only=True)
class PicturesWanted:
    """Which pictures of a job are asked for; without a step those of all."""

    step: Annotated[Id | None, Says("only those of this step")] = None
    limit: Annotated[int, Between(1, 200), Says("so many, the newest first")] = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class StepPicture:
    """A photo of a step, and what was tapped on it."""

    hash: str
    shows: Shows
    steps: Annotated[tuple[str, ...], Says("of which steps something is on it; its own first")]
    act: Annotated[str, Says("the key of the act that carries it")]
    by: str
    by_name: str
    at: str
    words: str
    marks: Annotated[tuple[PhotoMark, ...], Says("in the order of tightening, as tapped")] = ()
    spots_act: Annotated[str, Says("the key of the act that told the spots; empty if none")] = ""
    spots_by: str = ""
    spots_by_name: str = ""
    spots_at: str = ""

    @property
    def lines(self) -> tuple[MarkLine, ...]:
        """The same marks as a list, a line for each position."""
        return lines_of(self.marks)


@dataclass(frozen=True, slots=True, kw_only=True)
class JobPictures:
    """The pictures of a job, newest first."""

    job: JobFacts
    pictures: tuple[StepPicture, ...]


def job_pictures(service: Service, job: str, wanted: PicturesWanted) -> JobPictures:
    """The photos of a job's steps, each with its spots as they stand now."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        found = pictures_at(service, db, job_desk(service, db, row))
    chosen = [one for one in found if wanted.step is None or wanted.step in one.steps]
    return JobPictures(job=job_facts(row), pictures=tuple(chosen[: wanted.limit]))


def pictures_at(service: Service, db: sqlite3.Connection, desk: Desk) -> tuple[StepPicture, ...]:
    """The same for a desk that was read already: one query, whatever there is on them."""
    broken, told = broken_at(desk), spotted_photos(desk.state)
    by_hash: dict[str, list[Row]] = defaultdict(list)
    for row in photos.of_steps(db, service.site, desk.account):
        by_hash[row["hash"]].append(row)
    return tuple(_picture(desk, rows, told.get(photo), broken) for photo, rows in by_hash.items())


def by_step(pictures: Iterable[StepPicture], *, most: int = 3) -> Mapping[str, list[StepPicture]]:
    """The pictures that are shown at each step: with spots first, then the newest; a few only."""
    found: dict[str, list[StepPicture]] = defaultdict(list)
    for one in sorted(pictures, key=lambda picture: not picture.marks):
        for step in one.steps:
            if len(found[step]) < most:
                found[step].append(one)
    return found


def pictures_of_pieces(
    service: Service, job: str, positions: Collection[str], *, most: int = 3
) -> tuple[StepPicture, ...]:
    """Where pieces belong: the photos on which their positions are tapped, else of their steps."""
    with service.database.reading() as db:
        desk = job_desk(service, db, job_row(service, db, job))
        found = pictures_at(service, db, desk)
    tapped = [one for one in found if any(mark.position in positions for mark in one.marks)]
    steps = {desk.plan.home_step[one].id for one in positions if one in desk.plan.home_step}
    shown = tapped or [one for one in found if one.steps[0] in steps]
    return tuple(shown[:most])


def _picture(
    desk: Desk, rows: list[Row], told: SpottedPhoto | None, broken: Collection[str]
) -> StepPicture:
    # An act that only tells spots on a photo sends it along at times: it was taken in the first.
    first = rows[-1]
    marks = marks_of(desk, told, broken) if told else ()
    own = [told.step] if told and marks else []
    steps = dict.fromkeys(own + [row["step"] for row in rows] + [mark.step for mark in marks])
    said = told.told if told and marks else None
    return StepPicture(
        hash=first["hash"],
        shows=Shows(first["shows"]),
        steps=tuple(steps),
        act=first["key"],
        by=first["done_by"],
        by_name=desk.names.get(first["done_by"], ""),
        at=first["done_at"],
        words=words_of(json.loads(first["text"])),
        marks=marks,
        spots_act=said.act if said else "",
        spots_by=said.by if said else "",
        spots_by_name=desk.names.get(said.by, "") if said else "",
        spots_at=said.at if said else "",
    )
