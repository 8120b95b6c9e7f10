"""The release of a job: the head looked at, the fixed questions answered, what becomes of the old.

Nothing may be open, or quality has taken it as it stands; whoever fitted or secured does not
release. The statement is kept with the release and printed beside the reconciliation.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.kinds import JUDGES, ActKind, Needs
from partsvc.domain.desk import Draft, total
from partsvc.domain.effects import Accepted, JobReleased, Released
from partsvc.domain.job_state import Happened
from partsvc.domain.ledger import Holding
from partsvc.domain.old_parts import Becomes, done_with
from partsvc.domain.places import SCRAP
from partsvc.domain.reconciliation import gate_reasons, open_findings
from partsvc.domain.records import Form, Length, Says, Words
from partsvc.domain.release_questions import QUESTIONS
from partsvc.domain.use_counts import known_at_release
from partsvc.errors import Stale


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
    panels_back: Annotated[bool, Says("panels, covers and linings are back in place")] = False
    tools_complete: Annotated[bool, Says("own tools are complete")] = False
    old_parts: Annotated[
        Becomes | None, Says("what becomes of the job's old parts; needed when there are any")
    ] = None
    words: Words | None = None


def release(draft: Draft, act: Release) -> None:
    """The job is closed on the head its signer looked at, with nothing open."""
    if act.head != draft.desk.head:
        raise Stale(
            "Something was recorded on this job since you looked. Look at the reconciliation "
            "again and release with its head.",
            head=draft.desk.head,
        )
    _by_another(draft)
    _nothing_open(draft)
    _statement(draft, act)
    becomes = _old_parts(draft, act)
    released = Released(
        head=act.head,
        plan_hash=draft.desk.plan_hash,
        vehicle_searched=act.vehicle_searched,
        bay_searched=act.bay_searched,
        tools_complete=act.tools_complete,
        panels_back=act.panels_back,
        old_parts=becomes,
        gates="; ".join(f"{gate} {net}" for gate, net in gate_reasons(draft.desk).items()),
        accepted="; ".join(map(_acceptance_words, draft.desk.state.accepted)),
    )
    draft.effect(released)
    for known in known_at_release(draft.desk):
        draft.effect(known)
    draft.note_for_workshop = JobReleased(
        job=draft.desk.account, act=draft.doing.key, head=act.head
    )


def _by_another(draft: Draft) -> None:
    """Whoever worked on a job does not release it, but for one-man work without high voltage."""
    high_voltage = any(step.high_voltage for step in draft.desk.plan.steps)
    worked = draft.doing.people & draft.desk.workers
    if worked and not draft.alone_instead(high_voltage=high_voltage):
        raise draft.refusal(
            "same-person",
            "Whoever fitted or secured on this job does not release it: ask another person."
            f"{draft.why_not_alone(high_voltage=high_voltage)}",
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
    unanswered = [question for question in QUESTIONS if not getattr(act, question.id)]
    if unanswered:
        asked = " ".join(f"{question.asks} (`{question.id}`)" for question in unanswered)
        raise draft.refusal(
            "statement-incomplete",
            f"Look, and say so: {asked}",
            unanswered=tuple(question.id for question in unanswered),
        )


def _old_parts(draft: Draft, act: Release) -> str:
    """What becomes of the old parts, thrown out at once when that is said; empty without any."""
    there = done_with(draft.desk)
    if not there:
        return ""
    if act.old_parts is None:
        raise draft.refusal(
            "old-parts-not-said",
            f"{total(there)} old parts are in this job's old-parts bag: {_listed(draft, there)}. "
            "Say what becomes of them in `old_parts`: discarded, or kept-for-warranty.",
            old_parts=total(there),
        )
    if act.old_parts is Becomes.DISCARDED:
        for held in there:
            draft.carry(held, SCRAP)
    return act.old_parts.value


def _listed(draft: Draft, there: tuple[Holding, ...]) -> str:
    named = [f"{held.quantity} {draft.words_for(held.part)}" for held in there[:6]]
    return ", ".join(named) + (", …" if len(there) > 6 else "")


KINDS = (
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
            "panels_back": True,
            "tools_complete": True,
        },
    ),
)
