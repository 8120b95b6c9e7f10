"""How things are closed: accepted, reversed, released, reopened."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.built_on import built_on
from partsvc.domain.acts.fields import Lot, PartNumber, Why
from partsvc.domain.acts.kinds import JUDGES, ActKind, Needs
from partsvc.domain.desk import Draft, PastAct
from partsvc.domain.effects import (
    Accepted,
    HoldPassed,
    JobReleased,
    Released,
    Reopened,
    StepDone,
)
from partsvc.domain.findings import Finding
from partsvc.domain.job_state import Happened
from partsvc.domain.ledger import Short
from partsvc.domain.reconciliation import gate_reasons, open_findings
from partsvc.domain.records import Form, Key, Length, Line, Name, Says, Words
from partsvc.errors import NotFound, Refused, Stale

NOT_REVERSIBLE = ("open", "release", "reopen", "reverse")


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
class Release:
    """The job is closed: nothing is open, or what is open was accepted."""

    head: Annotated[
        str,
        Length(64, 64),
        Form(r"[0-9a-f]{64}", "a chain head"),
        Says("the head of the chain you looked at"),
    ]
    vehicle_searched: Annotated[bool, Says("vehicle searched for tools, rags, fragments")] = False
    bay_searched: Annotated[bool, Says("bay searched")] = False
    tools_complete: Annotated[bool, Says("own tools are complete")] = False
    words: Words | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reopen:
    """A released job is opened again."""

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
        raise NotFound("There is no such act on this job.", act=act.act)
    if past.kind in NOT_REVERSIBLE:
        raise draft.refusal("not-reversible", _why_not(past.kind))
    if past.reversed_by:
        raise draft.refusal("already-reversed", "This act was reversed before.")
    later = built_on(draft.desk, past)
    if later:
        raise _later_first(draft, later)
    draft.reversal = True
    draft.reverses = past.key
    for entry in reversed(past.entries):
        try:
            draft.move(entry.part, entry.quantity, entry.target, entry.source)
        except Short as short:
            raise _moved_on(draft, past, short) from short
    _open_again(draft, past)


def _why_not(kind: str) -> str:
    return {
        "open": "The opening of a job is not reversed; correct the plan instead.",
        "release": "A release is not reversed: reopen the job, and say why.",
        "reopen": "A reopening is not reversed: release the job again.",
        "reverse": "A reversal is not reversed: record the act again.",
    }[kind]


def _moved_on(draft: Draft, past: PastAct, short: Short) -> Refused:
    """Name the later acts that must be reversed first."""
    spot = short.entry.source
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


def _later_first(draft: Draft, later: tuple[str, ...]) -> Refused:
    return draft.refusal(
        "moved-on",
        "Some of this has moved on since. Reverse the later acts first, newest first.",
        reverse_first=later,
    )


def _open_again(draft: Draft, past: PastAct) -> None:
    """A hold or a tick undone closes its gate again; what was recorded under it is named."""
    own = [item.effect for item in draft.desk.happened if item.act == past.key]
    if not any(isinstance(effect, HoldPassed | StepDone) for effect in own):
        return
    moves = (posted.seq for posted in draft.desk.posted if posted.seq > past.seq)
    under = ", ".join(str(seq) for seq in sorted(set(moves)))
    if under:
        draft.warn(f"It is open again. Recorded since, and to be looked at again: acts {under}.")


def release(draft: Draft, act: Release) -> None:
    """The job is closed on the head its signer looked at, with nothing open."""
    if act.head != draft.desk.head:
        raise Stale(
            "Something was recorded on this job since you looked. Look at the reconciliation "
            "again and release with its head.",
            head=draft.desk.head,
        )
    if draft.doing.by in draft.desk.workers or draft.doing.recorded_by in draft.desk.workers:
        raise draft.refusal(
            "same-person",
            "Whoever fitted or secured on this job does not release it: ask another person.",
        )
    _nothing_open(draft)
    _statement(draft, act)
    released = Released(
        head=act.head,
        plan_hash=draft.desk.plan_hash,
        vehicle_searched=act.vehicle_searched,
        bay_searched=act.bay_searched,
        tools_complete=act.tools_complete,
        gates="; ".join(f"{gate} {net}" for gate, net in gate_reasons(draft.desk).items()),
        accepted="; ".join(map(_acceptance_words, draft.desk.state.accepted)),
    )
    draft.effect(released)
    draft.note_for_workshop = JobReleased(
        job=draft.desk.account, act=draft.doing.key, head=act.head
    )


def _acceptance_words(happened: Happened) -> str:
    """An acceptance in one line, for the release to carry."""
    said = happened.effect
    if not isinstance(said, Accepted):
        return ""
    return f"{said.finding} at {said.place} ({said.part}): {said.reason}"


def _nothing_open(draft: Draft) -> None:
    still = open_findings(draft.desk)
    if still:
        named = "; ".join(finding.words for finding in still[:5])
        more = f"; and {len(still) - 5} more" if len(still) > 5 else ""
        raise draft.refusal(
            "findings-open",
            f"{len(still)} findings are open: {named}{more}. Put them right, or have quality "
            "accept them.",
            open=len(still),
        )


def _statement(draft: Draft, act: Release) -> None:
    if not (act.vehicle_searched and act.bay_searched and act.tools_complete):
        raise draft.refusal(
            "statement-incomplete",
            "Say that the vehicle and the bay were searched and that the tools are complete: "
            "`vehicle_searched`, `bay_searched`, `tools_complete`.",
        )


def reopen(draft: Draft, act: Reopen) -> None:
    """A released job is worked on again; the old release stays readable."""
    if draft.desk.state.released is None:
        raise draft.refusal("not-released", "This job is open already.")
    draft.effect(Reopened(reason=act.reason))


KINDS = (
    ActKind(
        kind="accept",
        group="end",
        request=Accept,
        function=accept,
        needs=frozenset({Needs.HISTORY}),
        roles=JUDGES,
        says="Quality or the lead takes a finding as it stands, and says why.",
        example={"finding": "remark", "reason": "cosmetic only, customer informed"},
    ),
    ActKind(
        kind="reverse",
        group="end",
        request=Reverse,
        function=reverse,
        needs=frozenset({Needs.HISTORY, Needs.PAST}),
        says="A whole act is undone.",
        example={"act": "0b9b4a5e-6a52-4c0e-9a53-6f0f6f1f6a01", "reason": "wrong bag scanned"},
    ),
    ActKind(
        kind="release",
        group="end",
        request=Release,
        function=release,
        needs=frozenset({Needs.HISTORY}),
        roles=JUDGES,
        says="The job is closed: nothing is open, or what is open was accepted.",
        example={
            "head": "0" * 64,
            "vehicle_searched": True,
            "bay_searched": True,
            "tools_complete": True,
        },
    ),
    ActKind(
        kind="reopen",
        group="end",
        request=Reopen,
        function=reopen,
        roles=JUDGES,
        says="A released job is opened again.",
        example={"reason": "coolant leak on the road test"},
    ),
)
