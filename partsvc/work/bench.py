"""What somebody at the bench needs at hand, read at one moment: the list, and every tag by heart.

A page that knows its tags tells a wrong bag from a right one with no line to the service.
"""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from partsvc.domain import refit_list as refits
from partsvc.domain import strip_list as strips
from partsvc.domain.desk import Desk
from partsvc.domain.look import called
from partsvc.domain.looks_due import looks_due
from partsvc.domain.open_remarks import OpenRemark, open_remarks
from partsvc.domain.places import PlaceKind
from partsvc.domain.second_looks import wanted
from partsvc.domain.strip_asks import StepAsks, strip_asks
from partsvc.store import badges, keeping
from partsvc.store.database import Row
from partsvc.work.facts import job_desk, job_row, with_uses
from partsvc.work.facts_of_bags import with_pockets
from partsvc.work.facts_of_holds import with_work_done
from partsvc.work.job_view import job_facts, ranks
from partsvc.work.pictures import StepPicture, by_step, pictures_at
from partsvc.work.service import Service


@dataclass(frozen=True, slots=True, kw_only=True)
class TagAtHand:
    """A tag that may be scanned at this job: what it is on, and what for.

    `is_for` is bag, place or badge; `steps` are those that its pieces came off at, `home` the
    position it was printed for, `person` whose badge it is.
    """

    is_for: str
    words: str = ""
    pieces: int = 0
    steps: tuple[str, ...] = ()
    home: str = ""
    person: str = ""
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StripBench:
    """The strip list, what its steps still ask for, what quality sent back, and the job's tags."""

    work: strips.StripList
    asks: Mapping[str, StepAsks]
    remarks: tuple[OpenRemark, ...]
    tags: dict[str, TagAtHand]
    people: Mapping[str, str]
    pictures: Mapping[str, list[StepPicture]]


@dataclass(frozen=True, slots=True, kw_only=True)
class RefitBench:
    """The refit list, what quality sent back, and the tags of the job by their code.

    By position: how many pieces want a look first (`looks_due`), and where somebody else looks once
    more (`second_looks`). `boards` is the board of each pocket, `people` what each is called.
    """

    work: refits.RefitList
    remarks: tuple[OpenRemark, ...]
    tags: dict[str, TagAtHand]
    people: Mapping[str, str]
    looks_due: Mapping[str, int]
    second_looks: frozenset[str]
    boards: Mapping[str, str]
    pictures: Mapping[str, list[StepPicture]]


def strip_bench(service: Service, job: str) -> StripBench:
    """What taking apart needs at hand."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        desk = with_work_done(service, db, job_desk(service, db, row))
        desk = with_uses(service, db, desk)
        return StripBench(
            work=strips.strip_list(job_facts(row), desk),
            asks=strip_asks(desk),
            remarks=open_remarks(desk),
            tags=tags_at_hand(service, db, row, desk),
            people=desk.names,
            pictures=by_step(pictures_at(service, db, desk)),
        )


def refit_bench(service: Service, job: str) -> RefitBench:
    """What putting back needs at hand."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        desk = with_pockets(service, db, job_desk(service, db, row, look_back=True))
        return RefitBench(
            work=refits.refit_list(job_facts(row), desk, ranks(service, db, desk)),
            remarks=open_remarks(desk),
            tags=tags_at_hand(service, db, row, desk),
            people=desk.names,
            looks_due=looks_due(desk),
            second_looks=frozenset(one.position.id for one in wanted(desk)),
            boards={pocket: board for pocket, (board, _) in desk.pockets.items()},
            pictures=by_step(pictures_at(service, db, desk)),
        )


def tags_at_hand(
    service: Service, db: sqlite3.Connection, row: Row, desk: Desk
) -> dict[str, TagAtHand]:
    """Every tag that may be scanned at a job: of its bags, of the racks, of the people."""
    held = _held(desk)
    found = {
        tag["code"]: held.get(
            tag["code"], TagAtHand(is_for="bag", home=tag["position"], words=tag["words"])
        )
        for tag in keeping.tags_of_job(db, service.site, row["id"])
        if not tag["void_reason"]
    }
    things = keeping.tags_of_things(db, service.site)
    whose = badges.holders(db, service.site, [one["code"] for one in things])
    for tag in things:
        holder = whose.get(tag["code"])
        if holder is not None:
            found[tag["code"]] = TagAtHand(
                is_for="badge", words=holder["name"], person=holder["person"], name=holder["name"]
            )
        else:
            found[tag["code"]] = TagAtHand(is_for="place", words=tag["words"])
    return found


def _held(desk: Desk) -> dict[str, TagAtHand]:
    """The bags that hold something, by their code."""
    in_bag = defaultdict(list)
    for one in desk.book.holdings():
        if one.quantity > 0 and one.spot.place.kind is PlaceKind.BAG:
            in_bag[one.spot.place.at].append(one)
    found = {}
    for code, lots in in_bag.items():
        steps = {step.id: None for one in lots if (step := desk.plan.home_step.get(one.spot.lot))}
        pieces: dict[str, int] = defaultdict(int)
        for one in lots:
            pieces[one.part] += one.quantity
        found[code] = TagAtHand(
            is_for="bag",
            words=", ".join(f"{count} {called(desk, part)}" for part, count in pieces.items()),
            pieces=sum(pieces.values()),
            steps=tuple(steps),
        )
    return found
