"""A job that ends without a release: cancelled, written off, towed away with its parts in boxes.

What is open stays open and goes along on paper; nobody has to lie it closed.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from partsvc.domain.acts.kinds import JUDGES, ActKind, Needs
from partsvc.domain.desk import Draft
from partsvc.domain.effects_endings import HandedOver, JobHandedOver
from partsvc.domain.endings import handed_over, taken_over_by
from partsvc.domain.reconciliation import open_findings
from partsvc.domain.records import Line, Says, Words
from partsvc.errors import Invalid


class Ended(StrEnum):
    """Why a job ends while things are open."""

    CANCELLED = "cancelled"
    WRITTEN_OFF = "written-off"
    TOWED_AWAY = "towed-away"
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class HandOverIncomplete:
    """The job ends with findings open; vehicle and parts go to somebody else."""

    why: Ended
    to: Annotated[Line, Says("who takes the vehicle and its parts, by trade or office")]
    words: Annotated[Words | None, Says("what they were told; needed when `why` is other")] = None


def hand_over_incomplete(draft: Draft, act: HandOverIncomplete) -> None:
    """The job is closed as it stands, signed, with the number of findings that are open."""
    if act.why is Ended.OTHER and act.words is None:
        raise Invalid("Say in `words` why the job ends like this.", field="words")
    draft.effect(
        HandedOver(
            why=act.why.value,
            to=act.to,
            head=draft.desk.head,
            open=len(open_findings(draft.desk)),
            plan_hash=draft.desk.plan_hash,
            words=act.words or "",
        )
    )
    draft.note_for_workshop = JobHandedOver(
        job=draft.desk.account, act=draft.doing.key, head=draft.desk.head, why=act.why.value
    )


def not_ended(draft: Draft, kind: ActKind) -> None:
    """Refuse what is recorded on a job that was handed over, but for what a release lets pass."""
    state = draft.desk.state
    if handed_over(state) is None or kind.after_release:
        return
    gone = taken_over_by(state)
    words = (
        "Another job took over what was left of this one. Record it there."
        if gone
        else "This job was handed over incomplete. Reopen it first, and say why."
    )
    members = {"taken_over_by": gone} if gone else {}
    raise draft.refusal("handed-over", words, job=draft.desk.account, **members)


def may_reopen(draft: Draft) -> None:
    """Refuse to reopen a job whose pieces are another job's by now."""
    gone = taken_over_by(draft.desk.state)
    if gone:
        raise draft.refusal(
            "taken-over",
            "Another job took over what was left of this one; nothing is here to be worked on. Go "
            "on there.",
            taken_over_by=gone,
        )


KINDS = (
    ActKind(
        kind="hand-over-incomplete",
        group="end",
        request=HandOverIncomplete,
        function=hand_over_incomplete,
        needs=frozenset({Needs.HISTORY}),
        roles=JUDGES,
        says="The job ends with findings open; vehicle and parts go to somebody else.",
        example={"why": "towed-away", "to": "the owner's other workshop"},
    ),
)
