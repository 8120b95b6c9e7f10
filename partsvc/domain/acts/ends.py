"""How things are taken back or taken as they are: accepted, reversed, reopened."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.arrivals import arrival_undone
from partsvc.domain.acts.built_on import built_on
from partsvc.domain.acts.endings import may_reopen
from partsvc.domain.acts.fields import Lot, PartNumber, Why
from partsvc.domain.acts.kinds import JOB, JUDGES, WORKSHOP, ActKind, Needs
from partsvc.domain.acts.retagging import tags_good_again
from partsvc.domain.acts.taking_losses import may_take_loss
from partsvc.domain.acts.undoing import open_again, still_theirs, undone_otherwise
from partsvc.domain.desk import Draft, PastAct
from partsvc.domain.effects import Accepted, Reopened
from partsvc.domain.endings import handed_over
from partsvc.domain.findings import Finding
from partsvc.domain.ledger import Short
from partsvc.domain.reconciliation import open_findings
from partsvc.domain.records import Key, Line, Name, Says
from partsvc.domain.stopping import may_end_stop, passed_by
from partsvc.errors import NotFound, Refused

NOT_REVERSIBLE = (
    "open", "release", "reopen", "reverse", "note", "hand-over-incomplete", "taken-over",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Accept:
    """Quality or the lead takes a finding as it stands, and says why."""

    finding: Annotated[Name, Says("the kind of finding")]
    reason: Why
    place: Annotated[Line | None, Says("the place named in the finding")] = None
    part: PartNumber | None = None
    lot: Lot | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reverse:
    """A whole act is undone."""

    act: Annotated[Key, Says("the key of the act to undo")]
    reason: Why


@dataclass(frozen=True, slots=True, kw_only=True)
class Reopen:
    """A job that was released, or handed over incomplete, is opened again."""

    reason: Why


def accept(draft: Draft, act: Accept) -> None:
    """A finding is taken as it stands; it comes back when its quantity grows."""
    matching = [
        finding
        for finding in open_findings(draft.desk)
        if finding.kind == act.finding
        and act.place in (None, finding.place)
        and act.part in (None, finding.part)
        and act.lot in (None, finding.lot)
    ]
    if not matching:
        raise NotFound(
            f"No open finding “{act.finding}” fits. Look at the reconciliation for what is open.",
            finding=act.finding,
        )
    if len(matching) > 1:
        places = "; ".join(f"{one.place} {one.part} {one.lot}".strip() for one in matching[:10])
        raise draft.refusal(
            "not-clear-which",
            f"{len(matching)} findings fit. Say which `place`, `part` and `lot`: {places}.",
        )
    may_take_loss(draft, matching[0])
    may_end_stop(draft, matching[0])
    _take_as_it_is(draft, act, matching[0])


def _take_as_it_is(draft: Draft, act: Accept, finding: Finding) -> None:
    draft.effect(
        Accepted(
            finding=finding.kind,
            place=finding.place,
            part=finding.part,
            lot=finding.lot,
            quantity=finding.quantity,
            reason=act.reason,
        )
    )


def reverse(draft: Draft, act: Reverse) -> None:
    """A whole act is undone, once, as long as none of its pieces has moved on."""
    past = draft.desk.past.get(act.act)
    if past is None:
        raise NotFound(
            "There is no such act on this account. Look at its ledger for the key.", act=act.act
        )
    if past.kind in NOT_REVERSIBLE:
        raise draft.refusal("not-reversible", _why_not(past.kind))
    otherwise = undone_otherwise(past)
    if otherwise:
        raise draft.refusal("not-reversible", otherwise)
    if past.reversed_by:
        raise draft.refusal("already-reversed", "This act was reversed before.")
    _not_to_get_on(draft, past)
    later = built_on(draft.desk, past)
    if later:
        raise _later_first(draft, later)
    still_theirs(draft, past)
    draft.reversal = True
    draft.reverses = past.key
    for entry in reversed(past.entries):
        try:
            draft.move(entry.part, entry.quantity, entry.target, entry.source)
        except Short as short:
            raise _moved_on(draft, past, short) from short
    arrival_undone(draft, past)
    open_again(draft, past)
    tags_good_again(draft, past)


def _not_to_get_on(draft: Draft, past: PastAct) -> None:
    """An act that stopped the job is not undone by those it stops."""
    stopped = any(happened.act == past.key for happened, _ in passed_by(draft.desk.state))
    if stopped and not JUDGES & draft.doing.roles:
        raise draft.refusal(
            "job-stopped",
            "This act went past a high-voltage hold and stopped the job: only quality or the lead "
            "undo it. Call them.",
        )


def _why_not(kind: str) -> str:
    return {
        "open": "The opening of a job is not reversed; correct the plan instead.",
        "release": "A release is not reversed: reopen the job, and say why.",
        "reopen": "A reopening is not reversed: release the job again.",
        "reverse": "A reversal is not reversed: record the act again.",
        "hand-over-incomplete": "A hand-over is not reversed: reopen the job, and say why.",
        "taken-over": "What another job took over is not fetched back: go on with that job.",
        "note": "This only notes what was done on a job: reverse that on the job itself.",
    }[kind]


def _moved_on(draft: Draft, past: PastAct, short: Short) -> Refused:
    """Name the later acts that must be reversed first."""
    spot = short.entry.source
    if draft.desk.taken:
        return _left_the_shelf(draft)
    later = [
        posted
        for posted in draft.desk.posted
        if posted.seq > past.seq
        and posted.entry.part == short.entry.part
        and posted.entry.source == spot
    ]
    if not later:
        return draft.refusal(
            "moved-on",
            "What went back to the store has been handed out since, to another job. Issue what "
            "is needed again.",
        )
    return _later_first(draft, tuple(dict.fromkeys(posted.act for posted in reversed(later))))


def _left_the_shelf(draft: Draft) -> Refused:
    """What was received here has been handed out: the jobs are named, newest first."""
    where = ", ".join(dict.fromkeys(words for words, _ in draft.desk.taken))
    return draft.refusal(
        "moved-on",
        f"Some of this has left the shelf since: {where}. Reverse that there first; or count the "
        "shelf and put it right that way.",
        reverse_first=tuple(key for _, key in draft.desk.taken),
    )


def _later_first(draft: Draft, later: tuple[str, ...]) -> Refused:
    return draft.refusal(
        "moved-on",
        "Some of this has moved on since. Reverse the later acts first, newest first.",
        reverse_first=later,
    )


def reopen(draft: Draft, act: Reopen) -> None:
    """A released job is worked on again; the old release stays readable."""
    may_reopen(draft)
    if draft.desk.state.released is None and handed_over(draft.desk.state) is None:
        raise draft.refusal("not-released", "This job is open already.")
    draft.effect(Reopened(reason=act.reason))


KINDS = (
    ActKind(
        kind="accept",
        group="end",
        request=Accept,
        function=accept,
        needs=frozenset({Needs.HISTORY, Needs.HANDS}),
        roles=JUDGES,
        says="Quality or the lead takes a finding as it stands, and says why.",
        example={"finding": "remark", "reason": "cosmetic only, customer informed"},
    ),
    ActKind(
        kind="reverse",
        group="end",
        request=Reverse,
        function=reverse,
        accounts=frozenset({JOB, WORKSHOP}),
        needs=frozenset({Needs.HISTORY, Needs.PAST}),
        says="A whole act is undone.",
        example={"act": "0b9b4a5e-6a52-4c0e-9a53-6f0f6f1f6a01", "reason": "wrong bag scanned"},
    ),
    ActKind(
        kind="reopen",
        group="end",
        request=Reopen,
        function=reopen,
        after_release=True,
        roles=JUDGES,
        says="A released job is opened again.",
        example={"reason": "coolant leak on the road test"},
    ),
)
