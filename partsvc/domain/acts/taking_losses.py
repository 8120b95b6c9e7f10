"""Whether a loss may be taken as it is: by quality only, and after two people have searched."""

from __future__ import annotations

from partsvc.domain.acts.kinds import Role
from partsvc.domain.desk import Draft
from partsvc.domain.findings import Finding
from partsvc.domain.job_state import Happened
from partsvc.domain.losses import another_searched, losses, searches


def may_take_loss(draft: Draft, finding: Finding) -> None:
    """Object unless enough people searched; only quality says that a lost piece is no hazard."""
    if finding.kind != "lost":
        return
    if Role.QUALITY not in draft.doing.roles:
        raise draft.refusal(
            "quality-decides",
            "A lost piece may be a hazard: only quality decides that the job goes on without it. "
            "Ask quality, with the result of both searches.",
        )
    (loss,) = (
        one
        for one in losses(draft.desk)
        if (str(one.place), one.part, one.lot) == (finding.place, finding.part, finding.lot)
    )
    found = searches(draft.desk, loss)
    if another_searched(found, draft.desk.hands):
        return
    home = draft.desk.plan.home_step.get(loss.lot)
    high_voltage = home is not None and home.high_voltage
    if not (found and draft.alone_instead(high_voltage=high_voltage)):
        why = draft.why_not_alone(high_voltage=high_voltage)
        draft.objection("search-first", f"{_who_is_to_search(draft, found)}{why}")


def _who_is_to_search(draft: Draft, found: tuple[Happened, ...]) -> str:
    by_hands = [one for one in found if one.people & draft.desk.hands]
    if not found:
        done = "Nobody has searched since it was lost."
    elif not by_hands:
        done = "Nobody who worked on this job has searched since it was lost."
    else:
        done = "Since somebody who worked on this job searched, no other person has."
    return (
        f"{done} First somebody who worked here searches, then another person; each records where, "
        "and what was found."
    )
