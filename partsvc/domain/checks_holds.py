"""Hold points that nobody passed, and what was done under a passing that was taken back.

A hold that lapsed is no finding: it was passed for what was done under it, and what was done after
it lapsed was refused, or says itself that it was done anyway.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from partsvc.domain.checks_position import Explained
from partsvc.domain.desk import Desk
from partsvc.domain.findings import Finding
from partsvc.domain.plan import Hold, Step
from partsvc.domain.under_holds import Undone, named, undone


def holds_open(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """Hold points nobody passed, with what was done under them while they seemed passed."""
    taken_back: dict[str, list[Undone]] = defaultdict(list)
    for one in undone(desk):
        if one.work:
            taken_back[one.hold.id].append(one)
    for step in desk.plan.steps:
        for hold in step.holds:
            if hold.id not in desk.state.holds:
                yield _open(step, hold, taken_back[hold.id])
            else:
                yield from (_done_under(step, hold, one) for one in taken_back[hold.id])


def _open(step: Step, hold: Hold, taken_back: list[Undone]) -> Finding:
    work = {one.act.seq: one for undoing in taken_back for one in undoing.work}
    under = f" Done under it before it was taken back: {named(work.values())}." if work else ""
    return Finding(
        kind="hold-open",
        place=hold.id,
        words=f"Step {step.number}: hold point open: {hold.title}.{under}",
        step=step.id,
        step_number=step.number,
    )


def _done_under(step: Step, hold: Hold, one: Undone) -> Finding:
    return Finding(
        kind="hold-open",
        place=hold.id,
        words=(
            f"Step {step.number}: {hold.title}: its passing was taken back, and this had been "
            f"done under it: {named(one.work)}. Quality or the lead says whether it is right."
        ),
        quantity=len(one.work),
        step=step.id,
        step_number=step.number,
        lot=one.by.act,
    )
