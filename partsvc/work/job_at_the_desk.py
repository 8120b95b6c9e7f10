"""A job opened at the desk in one go: its vehicle, the job itself, its tags, the printing."""

from __future__ import annotations

import hashlib
import sqlite3
from dataclasses import dataclass, replace
from typing import Annotated

from partsvc.domain.canonical import canonical_text, normalised
from partsvc.domain.records import Between, Id, Says, encode
from partsvc.work import answers, jobs, printing, tagging, vehicles
from partsvc.work.jobs import NewJob
from partsvc.work.posting import Answer
from partsvc.work.printing import PrintWanted
from partsvc.work.service import Sender, Service
from partsvc.work.tagging import NewTags
from partsvc.work.vehicles import VehicleGiven


@dataclass(frozen=True, slots=True, kw_only=True)
class TagsWanted:
    """Which tags a job begins with, and where they are printed; nowhere if no printer is said."""

    each_position: Annotated[bool, Says("one for every position that goes into a bag")] = False
    blank: Annotated[int, Between(0, 100), Says("so many blank ones beside them")] = 0
    printer: Id | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class JobAtTheDesk:
    """The job that was opened, and the codes of the blank tags that were made with it."""

    job: str
    blank: tuple[str, ...]


def open_at_the_desk(
    service: Service,
    sender: Sender,
    given: NewJob,
    *,
    key: str,
    vehicle: VehicleGiven | None = None,
    tags: TagsWanted | None = None,
) -> JobAtTheDesk:
    """Open a job, with a vehicle that is not known yet and with its tags, all of it or nothing.

    `key` stands for the form: the same form sent twice opens one job.
    """
    jobs.let_go_first(service, sender, given)

    def work(db: sqlite3.Connection) -> Answer:
        asked = given
        if vehicle is not None:
            asked = replace(given, vehicle=vehicles.add(service, db, vehicle).id)
        job = jobs.start(service, db, sender, asked).id
        blank = make_tags(service, db, sender, job, tags or TagsWanted())
        return Answer(201, {"job": job, "blank": " ".join(blank)})

    content = {"job": encode(given), "vehicle": encode(vehicle), "tags": encode(tags)}
    digest = hashlib.sha256(canonical_text(normalised(content)).encode()).hexdigest()
    # Whoever went back and typed otherwise means another job.
    answer = answers.once(
        service, work, person=sender.person, key=f"{key}-{digest[:16]}", content={}
    )
    return JobAtTheDesk(job=str(answer.body["job"]), blank=tuple(str(answer.body["blank"]).split()))


def make_tags(
    service: Service, db: sqlite3.Connection, sender: Sender, job: str, wanted: TagsWanted
) -> tuple[str, ...]:
    """Mint a job's tags and print them if a printer is said; answers the codes of blank ones.

    A job whose plan has nothing that goes into a bag begins with the blank ones alone.
    """
    codes: list[str] = []
    if wanted.each_position and tagging.has_bagged(service, db, job):
        made = tagging.mint(service, db, NewTags(job=job))
        codes += [line.code for line in made.tags]
    blank: list[str] = []
    if wanted.blank:
        made = tagging.mint(service, db, NewTags(count=wanted.blank))
        blank += [line.code for line in made.tags]
    if wanted.printer and (codes or blank):
        asked = PrintWanted(printer=wanted.printer, codes=(*codes, *blank))
        printing.ask(service, db, sender, asked)
    return tuple(blank)
