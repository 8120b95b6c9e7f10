"""The account of a job as people read it: two lines, what is open, both sides of each part."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.effects_people import DoneAlone
from partsvc.domain.findings import KIND_OF, Finding
from partsvc.domain.job_facts import JobFacts
from partsvc.domain.look import called
from partsvc.domain.people_words import named
from partsvc.domain.reconciliation import reconcile
from partsvc.domain.records import Says
from partsvc.domain.stopping import stop_words
from partsvc.domain.story import StoryLine, likely_story
from partsvc.domain.this_vehicle import OfThisVehicle, of_this_vehicle
from partsvc.work.facts import job_desk, job_row
from partsvc.work.job_view import job_facts
from partsvc.work.service import Service

LIMITS = (
    "An exchange of look-alikes whose scans and counts agree leaves no record. Only an independent "
    "look, a bag seen empty, or the protrusion of the bolt would show it."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingView:
    """A finding as people read it."""

    kind: str
    title: str
    gravity: str
    line: str
    place: str
    words: str
    quantity: int
    step: str
    step_number: int
    position: str
    bag: str
    part: str
    called: str
    lot: str
    accepted_because: str = ""
    photos: Annotated[tuple[str, ...], Says("photos of it, by their hash")] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class AccountView:
    """Both sides of one part's account."""

    part: str
    called: str
    came_in: Mapping[str, int]
    went_out: Mapping[str, int]
    is_now: Mapping[str, int]
    in_total: int
    now_total: int
    balanced: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class AloneView:
    """What one person did that otherwise takes two, and why."""

    act: str
    kind: str
    by: str
    at: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReconciliationView:
    """The account of a job: two lines, what is open, what most likely happened, both sides."""

    job: JobFacts
    stopped: str
    book_closes: bool
    book_words: str
    seen: bool
    seen_words: str
    bags_used: int
    bags_seen_empty: int
    vehicle_searched: bool
    bay_searched: bool
    findings: tuple[FindingView, ...]
    not_seen: tuple[FindingView, ...]
    accepted: tuple[FindingView, ...]
    story: tuple[StoryLine, ...]
    accounts: tuple[AccountView, ...]
    gates: Mapping[str, int]
    limits: str
    this_vehicle: Annotated[
        tuple[OfThisVehicle, ...], Says("what is otherwise on this vehicle than planned")
    ] = ()
    alone: tuple[AloneView, ...]


def reconciliation(service: Service, job: str) -> ReconciliationView:
    """The account of a job."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        return reconciled(job_facts(row), job_desk(service, db, row, look_back=True))


def reconciled(job: JobFacts, desk: Desk) -> ReconciliationView:
    """The account as people read it."""
    account = reconcile(desk)
    findings = [one for one in account.open if one.line == "book"]
    return ReconciliationView(
        job=job,
        stopped=stop_words(desk),
        book_closes=account.book_closes,
        book_words="closes" if account.book_closes else f"{len(findings)} open",
        seen=account.seen,
        seen_words=_seen_words(
            account.bags_seen_empty,
            account.bags_used,
            searched=(account.vehicle_searched and account.bay_searched),
            looks_wanted=account.looks_wanted,
        ),
        bags_used=account.bags_used,
        bags_seen_empty=account.bags_seen_empty,
        vehicle_searched=account.vehicle_searched,
        bay_searched=account.bay_searched,
        findings=tuple(finding_view(desk, one) for one in findings),
        not_seen=tuple(finding_view(desk, one) for one in account.open if one.line == "seen"),
        accepted=tuple(finding_view(desk, one, reason) for one, reason in account.accepted),
        story=likely_story(desk, account.open),
        accounts=tuple(
            AccountView(
                part=one.part,
                called=called(desk, one.part),
                came_in=one.came_in,
                went_out=one.went_out,
                is_now=one.is_now,
                in_total=sum(one.came_in.values()) - sum(one.went_out.values()),
                now_total=sum(one.is_now.values()),
                balanced=one.balanced,
            )
            for one in account.accounts
        ),
        gates=account.gates,
        limits=LIMITS,
        this_vehicle=of_this_vehicle(desk),
        alone=done_alone(desk),
    )


def _seen_words(empty: int, used: int, *, searched: bool, looks_wanted: int) -> str:
    bags = f"{empty} of {used} bags seen empty"
    looks = f"; {looks_wanted} second looks not taken" if looks_wanted else ""
    return f"{bags}; vehicle and bay {'searched' if searched else 'not searched yet'}{looks}"


def done_alone(desk: Desk) -> tuple[AloneView, ...]:
    """What one person did that otherwise takes two, in the order it was done."""
    return tuple(
        AloneView(
            act=happened.act,
            kind=said.what,
            by=happened.by,
            at=happened.at,
            words=f"“{said.what}”{_where(desk, said)} done alone: {said.reason}",
        )
        for happened, said in desk.state.each(DoneAlone)
    )


def _where(desk: Desk, said: DoneAlone) -> str:
    position = desk.plan.positions.get(said.position)
    step = desk.plan.step_of.get(said.step)
    if position is not None:
        return f" at {position.where}"
    if step is not None:
        return f" of step {step.number}"
    return f" of bag {shown_bag(said.bag)}" if said.bag else ""


def finding_view(desk: Desk, finding: Finding, reason: str = "") -> FindingView:
    """A finding as people read it."""
    kind = KIND_OF[finding.kind]
    return FindingView(
        kind=finding.kind,
        title=kind.title,
        gravity=kind.gravity.value,
        line=kind.line.value,
        place=finding.place,
        words=named(finding.words, desk.names),
        quantity=finding.quantity,
        step=finding.step,
        step_number=finding.step_number,
        position=finding.position,
        bag=shown_bag(finding.bag) if finding.bag else "",
        part=finding.part,
        called=called(desk, finding.part) if finding.part else "",
        lot=finding.lot,
        accepted_because=reason,
        photos=finding.photos,
    )
