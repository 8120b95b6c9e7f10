"""Whether a job ended without a release, and which other job its pieces went to or came from."""

from __future__ import annotations

from partsvc.domain.effects import Reopened
from partsvc.domain.effects_endings import HandedOver, TakenOver, TookOver
from partsvc.domain.job_state import Happened, JobState


def handed_over(state: JobState) -> tuple[Happened, HandedOver] | None:
    """How the job ended incomplete; None while it is worked on, or was opened again."""
    last = last_hand_over(state)
    reopened = max((happened.seq for happened, _ in state.each(Reopened)), default=0)
    return last if last is not None and last[0].seq > reopened else None


def last_hand_over(state: JobState) -> tuple[Happened, HandedOver] | None:
    """The newest hand-over of the job, also when it was opened again since."""
    found = list(state.each(HandedOver))
    return found[-1] if found else None


def taken_over_by(state: JobState) -> str:
    """The job that took over what was left of this one; empty if none did."""
    return next((said.job for _, said in state.each(TakenOver)), "")


def took_over(state: JobState) -> TookOver | None:
    """The job whose remains this one began with; None if it began on a whole vehicle."""
    return next((said for _, said in state.each(TookOver)), None)
