"""What becomes of queued acts that were refused: put right by another act, or dismissed here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.fields import Why
from partsvc.domain.acts.kinds import JUDGES, ActKind, Needs
from partsvc.domain.desk import Draft
from partsvc.domain.effects_people import Dismissed
from partsvc.domain.records import Key, Says
from partsvc.errors import NotFound


@dataclass(frozen=True, slots=True, kw_only=True)
class Dismiss:
    """A queued act that was refused comes to nothing: it was not so, or it was recorded else."""

    refused: Annotated[Key, Says("the key of the refused act")]
    reason: Why


def dismiss(draft: Draft, act: Dismiss) -> None:
    """A refused act is no longer waited for; it stays readable, with this reason."""
    found = next((one for one in draft.desk.refused if one.key == act.refused), None)
    if found is None:
        raise NotFound(
            "No refused act of that key waits on this job. Look at the list of refused acts.",
            refused=act.refused,
        )
    own = draft.doing.recorded_by in (found.by, found.recorded_by)
    if not own and not JUDGES & draft.doing.roles:
        raise draft.refusal(
            "not-your-own",
            "This was sent by somebody else: they dismiss it themselves, or quality or the lead.",
        )
    draft.effect(Dismissed(refused=act.refused, reason=act.reason))


KINDS = (
    ActKind(
        kind="dismiss",
        group="truth",
        request=Dismiss,
        function=dismiss,
        needs=frozenset({Needs.REFUSED}),
        after_release=True,
        says="A queued act that was refused comes to nothing, and why.",
        example={
            "refused": "0b9b4a5e-6a52-4c0e-9a53-6f0f6f1f6a01",
            "reason": "scanned twice; the first one was taken",
        },
    ),
)
