"""When a job stands still: a high-voltage hold was passed by, and nobody has judged it yet.

Only quality or the lead end it, by accepting that finding. Until then what people see and say goes
on, what makes the vehicle safe goes on, and no work is done with the hands.
"""

from __future__ import annotations

from collections.abc import Iterator

from partsvc.domain.desk import Desk, Draft
from partsvc.domain.effects import Accepted, Overridden
from partsvc.domain.findings import Finding
from partsvc.domain.job_state import Happened, JobState

PASSED_BY = "hold-passed-by"


def passed_by(state: JobState) -> Iterator[tuple[Happened, Overridden]]:
    """The acts that went past a high-voltage hold and that nobody has accepted, oldest first."""
    taken = {(said.lot, said.part) for _, said in state.each(Accepted) if said.finding == PASSED_BY}
    for happened, over in state.each(Overridden):
        if over.stops and (happened.act, over.rule) not in taken:
            yield happened, over


def stop_words(desk: Desk) -> str:
    """Why the job stands still and who ends it; empty when it does not."""
    found = next(passed_by(desk.state), None)
    if found is None:
        return ""
    happened, over = found
    step, hold = desk.plan.holds.get(over.hold, (None, None))
    what = "this was gone past"
    if step and hold:
        what = f"the high-voltage hold “{hold.title}” (step {step.number}) was passed by"
    told = "" if hold else f": {over.detail.rstrip('.')}"
    return (
        f"STOPPED: in act {happened.seq} {what}{told}. No work on the vehicle until quality or "
        "the lead has looked at it and accepted that finding. Keep clear, and call them."
    )


def may_end_stop(draft: Draft, finding: Finding) -> None:
    """Object when whoever went past a high-voltage safeguard would also judge it."""
    if finding.kind == PASSED_BY and any(
        happened.act == finding.lot and happened.people & draft.doing.people
        for happened, _ in passed_by(draft.desk.state)
    ):
        draft.objection(
            "same-person",
            "Whoever went past a high-voltage safeguard does not also judge it: ask another person "
            "of quality, or another lead.",
        )
