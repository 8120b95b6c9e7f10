"""What stands between a job and its release, as the releaser sees it at one moment.

The releaser signs what they looked at: the head of the chain at that moment. What was recorded
since then is shown in words, so that they look at that, too, and not only at a refusal.
"""

from __future__ import annotations

from dataclasses import dataclass

from partsvc.domain.desk import Desk
from partsvc.domain.effects import Released
from partsvc.domain.endings import handed_over
from partsvc.domain.open_remarks import OpenRemark, open_remarks
from partsvc.domain.release_questions import ReleaseQuestions
from partsvc.domain.release_questions import release_questions as asked_of
from partsvc.domain.trail import all_told
from partsvc.domain.trail_lines import TrailLine
from partsvc.store import trails
from partsvc.work import working_alone
from partsvc.work.facts import job_desk, job_row
from partsvc.work.job_view import job_facts
from partsvc.work.reconciling import ReconciliationView, reconciled
from partsvc.work.service import Service
from partsvc.work.trail import act_told

_SHOWN_AT_MOST = 60
_JUDGES = {"quality", "lead"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended:
    """How a job ended: who signed it, when, and on which head."""

    how: str
    by: str
    at: str
    head: str
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseCheck:
    """All that a releaser looks at, with the head that their signature will name.

    `worked` is set when the person who looks fitted or secured here; `may_sign` are others who may
    release; `alone` is set when one person may do both on this job. `steps` are where a remark may
    send it back to.
    """

    asked: ReleaseQuestions
    account: ReconciliationView
    looked_seq: int
    head: str
    since: tuple[TrailLine, ...]
    more_since: bool
    worked: bool
    workers: tuple[str, ...]
    may_sign: tuple[str, ...]
    alone: bool
    high_voltage: bool
    ended: Ended | None
    released_before: bool
    remarks: tuple[OpenRemark, ...]
    steps: tuple[tuple[str, int, str], ...]

    @property
    def open(self) -> int:
        """How many findings are open, on either line."""
        return len(self.account.findings) + len(self.account.not_seen)


def release_check(
    service: Service, job: str, person: str, looked: int | None = None
) -> ReleaseCheck:
    """How the release stands for a person who looked at the job as of act `looked`, else now."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        desk = job_desk(service, db, row, look_back=True)
        seq = row["head_seq"] if looked is None else min(looked, row["head_seq"])
        rows = trails.since(db, service.site, row["id"], seq, _SHOWN_AT_MOST)
        head = trails.hash_of(db, service.site, row["id"], seq) or row["head"]
        alone = working_alone.is_permitted(service, db)
    facts = job_facts(row)
    high_voltage = any(step.high_voltage for step in desk.plan.steps)
    return ReleaseCheck(
        asked=asked_of(facts, desk),
        account=reconciled(facts, desk),
        looked_seq=seq,
        head=head,
        since=all_told(desk, tuple(map(act_told, rows))),
        more_since=len(rows) == _SHOWN_AT_MOST,
        worked=person in desk.workers,
        workers=_names(desk, desk.workers),
        may_sign=_names(desk, _judges(desk) - desk.workers),
        alone=alone and not high_voltage,
        high_voltage=high_voltage,
        ended=_ended(desk),
        released_before=desk.state.last_release is not None,
        remarks=open_remarks(desk),
        steps=tuple((step.id, step.number, step.title) for step in desk.plan.steps),
    )


def _judges(desk: Desk) -> frozenset[str]:
    return frozenset(person for person, roles in desk.people.items() if roles & _JUDGES)


def _names(desk: Desk, people: frozenset[str]) -> tuple[str, ...]:
    return tuple(sorted(desk.names.get(one, one) for one in people))


def _ended(desk: Desk) -> Ended | None:
    released = desk.state.released
    if released is not None and isinstance(released.effect, Released):
        by = desk.names.get(released.by, released.by)
        return Ended(how="released", by=by, at=released.at, head=released.effect.head)
    gone = handed_over(desk.state)
    if gone is not None:
        happened, said = gone
        by = desk.names.get(happened.by, happened.by)
        words = ": ".join(filter(None, (said.to, said.words)))
        return Ended(how="handed-over", by=by, at=happened.at, head=said.head, words=words)
    return None
