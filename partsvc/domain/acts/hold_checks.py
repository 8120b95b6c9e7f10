"""What is looked at when a hold is passed, beyond what its own fields ask for.

The time that had to go by, the dates of the equipment, what lies beneath a close-up, and how long
it will stand.
"""

from __future__ import annotations

from collections.abc import Mapping

from partsvc.domain.beneath import open_beneath
from partsvc.domain.desk import Draft
from partsvc.domain.hold_gates import NUMBER_OF
from partsvc.domain.plan import Equipment, Hold, Step
from partsvc.domain.site_time import local_day, local_words, minutes_until
from partsvc.domain.under_holds import wait_over_at

MOST_NAMED = 5


def long_enough(draft: Draft, hold: Hold) -> None:
    """Object when the time that has to go by before this hold has not gone by."""
    first = draft.desk.plan.step_of.get(hold.wait_after)
    if not hold.wait_minutes or first is None:
        return
    over_at = wait_over_at(draft.desk, hold)
    if not over_at:
        draft.objection(
            "too-early",
            f"It waits {hold.wait_minutes} minutes after step {first.number} ({first.title}), and "
            "that step is not recorded yet. Record it: the time runs from then.",
            hold=hold.id,
            first_step=first.id,
        )
        return
    left = minutes_until(draft.doing.at, over_at)
    if left:
        draft.objection(
            "too-early",
            f"Not yet: {left} of the {hold.wait_minutes} minutes after step {first.number} "
            f"({first.title}) are left, until {local_words(over_at, draft.desk.zone)}. Wait, then "
            "pass it.",
            hold=hold.id,
            minutes_left=left,
            over_at=over_at,
        )


def equipment_good(draft: Draft, hold: Hold, numbers: Mapping[Equipment, str]) -> None:
    """Object to equipment whose number is not said, or whose check date has gone by."""
    for kind in Equipment:
        number = numbers.get(kind, "")
        if number:
            _in_date(draft, hold, kind, number)
        elif kind in hold.equipment and not (kind is Equipment.INSTRUMENT and hold.instrument):
            draft.objection("hold-incomplete", f"It asks for {NUMBER_OF[kind]}.", hold=hold.id)


def _in_date(draft: Draft, hold: Hold, kind: Equipment, number: str) -> None:
    known = draft.desk.equipment.get(number)
    if known is None:
        draft.warn(
            f"{kind.capitalize()} {number} is not in the list of equipment: nobody knows when it "
            "is to be checked. Look at its label; have the lead add it."
        )
        return
    if known.kind != kind:
        draft.warn(f"{number} is in the list of equipment as {known.kind}, not as {kind}.")
    if known.good_until < local_day(draft.doing.at, draft.desk.zone):
        draft.objection(
            "out-of-date",
            f"{kind.capitalize()} {number} was to be checked by {known.good_until}. Put it aside, "
            "and take one that is in date.",
            hold=hold.id,
            number=number,
            good_until=known.good_until,
        )


def closed_beneath(draft: Draft, step: Step, hold: Hold) -> None:
    """Object to a close-up while anything beneath it is open, and name the first of it."""
    found = open_beneath(draft.desk, step, hold) if hold.close_up else ()
    if not found:
        return
    named = " ".join(finding.words for finding in found[:MOST_NAMED])
    more = f" And {len(found) - MOST_NAMED} more." if len(found) > MOST_NAMED else ""
    draft.objection(
        "not-closed-beneath",
        f"Open beneath: {named}{more} Put it right before it is covered, or have quality accept "
        "it.",
        hold=hold.id,
        open=len(found),
    )
