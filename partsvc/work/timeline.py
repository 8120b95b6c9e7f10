"""A job day by day: the days, and one of them by person, by shift and as a list."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from partsvc.domain import timeline
from partsvc.domain.job_facts import JobFacts
from partsvc.domain.job_plan import job_plan
from partsvc.domain.people_words import named
from partsvc.domain.photo_subjects import words_of
from partsvc.domain.plan import Plan
from partsvc.domain.records import Plain
from partsvc.domain.timeline import Day, Lane, Moment, Shift, Sort, sort_of
from partsvc.domain.trail_words import ACT_WORDS
from partsvc.store import acts as act_store
from partsvc.store import equipment, timelines
from partsvc.work import naming
from partsvc.work.facts import job_row, pinned_plan
from partsvc.work.job_view import job_facts
from partsvc.work.service import Service

MOST_ON_A_PAGE = 150
SLOTS = 24
_PLAN_EFFECTS = ("step-added", "position-added")


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One act in words: what, where, by whom, and what was said about it."""

    at: str
    by: str
    sort: Sort
    words: str
    step_number: int
    step_title: str
    wheres: tuple[str, ...]
    said: str
    undone: bool
    seq: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ShiftTold:
    """A shift in words; `until` is empty where the workshop has named no shifts."""

    until: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Timeline:
    """The days of a job, and the one that is looked at; lanes call people by name."""

    job: JobFacts
    days: tuple[Day, ...]
    day: Day | None
    hours: tuple[int, int]
    lanes: tuple[Lane, ...]
    shifts: tuple[ShiftTold, ...]
    first: int
    later: int
    earlier: int


def timeline_of(service: Service, job: str, *, day: str = "", first: int = 0) -> Timeline:
    """The days of a job; of the day asked for, or the newest, a page of lines from `first` on."""
    names = naming.names(service)
    with service.database.reading() as db:
        row = job_row(service, db, job)
        moments = _moments(service, db, job)
        found = timeline.days(moments, service.zone)
        chosen = next((one for one in found if day in ("", one.day)), None)
        own = timeline.of_day(moments, chosen.day, service.zone) if chosen else ()
        page = own[first : first + MOST_ON_A_PAGE]
        ends = equipment.shift_ends(db, service.site)
        by_shift = timeline.shifts(page, ends, service.zone)
        told = _told(service, db, job, by_shift, names)
    hours = timeline.hours_of(own, service.zone)
    return Timeline(
        job=job_facts(row),
        days=found,
        day=chosen,
        hours=hours,
        lanes=timeline.lanes(
            [_called(one, names) for one in own], hours, slots=SLOTS, zone=service.zone
        ),
        shifts=told,
        first=first,
        later=first + len(page) if first + len(page) < len(own) else 0,
        earlier=max(0, first - MOST_ON_A_PAGE),
    )


def _moments(service: Service, db: sqlite3.Connection, job: str) -> list[Moment]:
    acts = [
        Moment(
            at=row["done_at"],
            by=row["done_by"],
            kind=row["kind"],
            sort=sort_of(row["kind"]),
            step=row["step"],
            seq=row["seq"],
            undone=bool(row["undone"]),
        )
        for row in timelines.acts(db, service.site, job)
    ]
    return acts + [
        Moment(
            at=row["at"],
            by=row["done_by"],
            kind=row["kind"],
            sort=Sort.REFUSED,
            detail=row["detail"],
        )
        for row in timelines.refused(db, service.site, job)
    ]


def _called(one: Moment, names: Mapping[str, str]) -> Moment:
    return Moment(at=one.at, by=names.get(one.by) or one.by, kind=one.kind, sort=one.sort)


def _told(
    service: Service,
    db: sqlite3.Connection,
    job: str,
    shifts: Sequence[Shift],
    names: Mapping[str, str],
) -> tuple[ShiftTold, ...]:
    seqs = [one.seq for shift in shifts for one in shift.moments if one.seq]
    texts = timelines.texts(db, service.site, job, seqs)
    pinned, _ = pinned_plan(service, db, job_row(service, db, job))
    added = act_store.effects_of_kind(db, service.site, job, _PLAN_EFFECTS)
    plan = job_plan(pinned, (item.effect for item in added))
    return tuple(
        ShiftTold(
            until=shift.until,
            lines=tuple(
                _line(plan, one, json.loads(texts[one.seq]) if one.seq in texts else {}, names)
                for one in shift.moments
            ),
        )
        for shift in shifts
    )


def _line(plan: Plan, one: Moment, text: Mapping[str, Plain], names: Mapping[str, str]) -> Line:
    request = text.get("request")
    sent: Mapping[str, Plain] = request if isinstance(request, dict) else {}
    step = plan.step_of.get(one.step)
    several = sent.get("positions")
    asked = [sent.get("position"), *(several if isinstance(several, list) else [])]
    known = [plan.positions[one] for one in asked if isinstance(one, str) and one in plan.positions]
    return Line(
        at=one.at,
        by=names.get(one.by) or one.by,
        sort=one.sort,
        words=ACT_WORDS.get(one.kind, one.kind.replace("-", " ")),
        step_number=step.number if step else 0,
        step_title=step.title if step else "",
        wheres=tuple(position.where for position in known),
        said=named(one.detail, names) or words_of(text) or str(sent.get("reason") or ""),
        undone=one.undone,
        seq=one.seq,
    )
