"""The account of a job as people read it: two lines, what is open, both sides of each part."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.findings import KIND_OF, Finding
from partsvc.domain.job_facts import JobFacts
from partsvc.domain.look import called
from partsvc.domain.reconciliation import reconcile
from partsvc.domain.story import StoryLine, likely_story
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
class ReconciliationView:
    """The account of a job: two lines, what is open, what most likely happened, both sides."""

    job: JobFacts
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
        book_closes=account.book_closes,
        book_words="closes" if account.book_closes else f"{len(findings)} open",
        seen=account.seen,
        seen_words=_seen_words(
            account.bags_seen_empty,
            account.bags_used,
            searched=(account.vehicle_searched and account.bay_searched),
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
    )


def _seen_words(empty: int, used: int, *, searched: bool) -> str:
    bags = f"{empty} of {used} bags seen empty"
    return f"{bags}; vehicle and bay {'searched' if searched else 'not searched yet'}"


def finding_view(desk: Desk, finding: Finding, reason: str = "") -> FindingView:
    """A finding as people read it."""
    kind = KIND_OF[finding.kind]
    return FindingView(
        kind=finding.kind,
        title=kind.title,
        gravity=kind.gravity.value,
        line=kind.line.value,
        place=finding.place,
        words=finding.words,
        quantity=finding.quantity,
        step=finding.step,
        step_number=finding.step_number,
        position=finding.position,
        bag=shown_bag(finding.bag) if finding.bag else "",
        part=finding.part,
        called=called(desk, finding.part) if finding.part else "",
        lot=finding.lot,
        accepted_because=reason,
    )
