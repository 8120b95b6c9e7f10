"""The photos of a job: of which step, position or bag, before or after, by whom, in which act."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Annotated

from partsvc.domain.acts.codes import read_code
from partsvc.domain.photo_subjects import Shows, words_of
from partsvc.domain.records import Between, Code, Id, Says
from partsvc.store import photos
from partsvc.store.database import Row
from partsvc.store.photos import PhotoFilter
from partsvc.work import naming
from partsvc.work.facts import job_row
from partsvc.work.service import Service


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotosWanted:
    """Which photos of a job are asked for; what is left out asks for all."""

    step: Annotated[Id | None, Says("photos taken at this step")] = None
    position: Annotated[Id | None, Says("photos of this position")] = None
    bag: Annotated[Code | None, Says("photos of this bag")] = None
    after: Annotated[int, Between(0, 2**53 - 1), Says("in acts after this number")] = 0
    limit: Annotated[int, Between(1, 200), Says("photos of so many acts")] = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoTaken:
    """A photo, what is on it, and the act that carries it."""

    hash: str
    kept: Annotated[bool, Says("false: it was named, and has not been sent here yet")]
    shows: Shows
    step: str
    positions: tuple[str, ...]
    bags: tuple[str, ...]
    act: Annotated[str, Says("the key of the act")]
    seq: int
    kind: str
    by: str
    by_name: str
    at: str
    words: str
    undone: Annotated[bool, Says("the act was reversed; the photo stays")]


@dataclass(frozen=True, slots=True, kw_only=True)
class JobPhotos:
    """A page of the photos of a job, oldest first."""

    photos: tuple[PhotoTaken, ...]
    next_after: Annotated[int, Says("where the next page begins; 0 on the last one")] = 0


def photos_of_job(service: Service, job: str, wanted: PhotosWanted) -> JobPhotos:
    """The photos that the acts of a job carry."""
    asked = PhotoFilter(
        step=wanted.step or "",
        position=wanted.position or "",
        bag=read_code(wanted.bag, "bag") if wanted.bag else "",
        after=wanted.after,
        limit=wanted.limit,
    )
    names = naming.names(service)
    with service.database.reading() as db:
        job_row(service, db, job)
        rows = photos.of_job(db, service.site, job, asked)
    acts = {row["seq"] for row in rows}
    found = tuple(
        _taken(list(own), names)
        for _, own in groupby(rows, key=lambda row: (row["seq"], row["n"], row["shows"]))
    )
    return JobPhotos(photos=found, next_after=max(acts) if len(acts) == wanted.limit else 0)


def _taken(rows: Sequence[Row], names: Mapping[str, str]) -> PhotoTaken:
    first = rows[0]
    return PhotoTaken(
        hash=first["hash"],
        kept=bool(first["kept"]),
        shows=Shows(first["shows"]),
        step=first["step"],
        positions=_each(row["position"] for row in rows),
        bags=_each(row["bag"] for row in rows),
        act=first["key"],
        seq=first["seq"],
        kind=first["kind"],
        by=first["done_by"],
        by_name=names.get(first["done_by"], ""),
        at=first["done_at"],
        words=words_of(json.loads(first["text"])),
        undone=bool(first["undone"]),
    )


def _each(found: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(filter(None, found)))
