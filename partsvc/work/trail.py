"""The trail of a piece, read at one moment: which acts it was in, told in the workshop's words."""

from __future__ import annotations

import json
import sqlite3
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import replace
from typing import cast

from partsvc.domain.acts.codes import read_code
from partsvc.domain.desk import Desk
from partsvc.domain.effects import from_plain
from partsvc.domain.ledger import Entry, Spot
from partsvc.domain.places import AT_POSITION, Condition, Place, bag
from partsvc.domain.records import Plain
from partsvc.domain.trail import trail, with_photos
from partsvc.domain.trail_lines import ActTold, Subject, Trail
from partsvc.errors import NotFound
from partsvc.store import keeping, photos, trails
from partsvc.store.database import Row
from partsvc.store.photos import PhotoFilter
from partsvc.store.trails import TrailFilter
from partsvc.work.facts import job_desk, job_row
from partsvc.work.job_view import job_facts
from partsvc.work.service import Service

AT_MOST = 500


def position_trail(service: Service, job: str, position: str) -> Trail:
    """The trail of all pieces of a position; NotFound if the plan has none of that id."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        desk = job_desk(service, db, row)
        step = desk.plan.home_step.get(position)
        if step is None:
            raise NotFound(
                f"There is no position {position} on this job. Look for it in the list of its "
                "positions.",
                position=position,
            )
        wanted = TrailFilter(
            places=tuple(str(Place(kind, position)) for kind in AT_POSITION),
            position=position,
            step=step.id,
            kin=True,
            limit=AT_MOST,
        )
        return _told(service, db, (row, desk), Subject(position=position), wanted)


def bag_trail(service: Service, job: str, code: str) -> Trail:
    """What went into a bag and out of it; NotFound if no such tag was ever this job's."""
    read = read_code(code, "bag")
    with service.database.reading() as db:
        row = job_row(service, db, job)
        if not any(tag["code"] == read for tag in keeping.tags_of_job(db, service.site, row["id"])):
            raise NotFound(
                "This bag is not one of this job. Scan it at the list of jobs: its own job opens.",
                bag=code,
            )
        wanted = TrailFilter(places=(str(bag(read)),), bag=read, limit=AT_MOST)
        desk = job_desk(service, db, row)
        return _told(service, db, (row, desk), Subject(bag=read), wanted)


def part_trail(service: Service, job: str, part: str) -> Trail:
    """The ways of all pieces of a part on a job; NotFound if the job never had any."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        desk = job_desk(service, db, row)
        wanted = TrailFilter(part=part, limit=AT_MOST)
        found = _told(service, db, (row, desk), Subject(part=part), wanted)
    if not found.lines and part not in desk.parts:
        raise NotFound(f"No piece of {part} was ever on this job.", part=part)
    return found


def _told(
    service: Service,
    db: sqlite3.Connection,
    of: tuple[Row, Desk],
    subject: Subject,
    wanted: TrailFilter,
) -> Trail:
    row, desk = of
    rows = trails.acts_of(db, service.site, row["id"], wanted)
    found = trail(job_facts(row), desk, subject, tuple(map(act_told, rows)))
    shown = _photos(service, db, row["id"], subject)
    return replace(with_photos(found, shown), more=len(rows) == wanted.limit)


def _photos(
    service: Service, db: sqlite3.Connection, job: str, subject: Subject
) -> Mapping[int, tuple[str, ...]]:
    if subject.part:
        return {}
    asked = PhotoFilter(position=subject.position, bag=subject.bag, limit=AT_MOST)
    found: dict[int, dict[str, None]] = defaultdict(dict)
    for row in photos.of_job(db, service.site, job, asked):
        if row["kept"]:
            found[row["seq"]][row["hash"]] = None
    return {seq: tuple(hashes) for seq, hashes in found.items()}


def act_told(row: Row) -> ActTold:
    """An act as its stored text has it."""
    said = json.loads(row["text"])
    return ActTold(
        seq=row["seq"],
        key=said["key"],
        kind=said["kind"],
        by=said["by"],
        recorded_by=said["recorded_by"],
        supervised_by=said.get("supervised_by", ""),
        device=said["sent_by"],
        done_at=said["done_at"],
        received_at=said["received_at"],
        step=said.get("step", ""),
        reverses=said.get("reverses", ""),
        undone_by=row["undone_by"] or 0,
        entries=tuple(map(_entry, said["entries"])),
        effects=tuple(
            from_plain(one["effect"], {name: one[name] for name in one if name != "effect"})
            for one in said["effects"]
        ),
        said=said,
    )


def _entry(said: Mapping[str, Plain]) -> Entry:
    sides = (cast(Mapping[str, str], said[side]) for side in ("from", "to"))
    source, target = (
        Spot(
            side["account"],
            Place.parse(side["place"]),
            Condition(side["condition"]),
            side["lot"],
        )
        for side in sides
    )
    return Entry(str(said["part"]), int(cast(int, said["quantity"])), source, target)
