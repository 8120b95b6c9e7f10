"""Whether a hold that was passed still stands: for whom, until when, and why it lapsed.

Dead in the morning proves nothing about the evening. A hold lapses with its time, when somebody
says so, and when a step is worked that undoes what it confirmed; then it stands in the way again.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from partsvc.domain.desk import Desk
from partsvc.domain.effects import HoldPassed
from partsvc.domain.effects_holds import HoldLapsed
from partsvc.domain.job_state import Happened
from partsvc.domain.plan import Hold, Phase, Step
from partsvc.domain.progress import ancestors
from partsvc.domain.site_time import later, local_words, shift_end_after


class Reason(StrEnum):
    """Why a hold lapsed, as a person says it."""

    END_OF_SHIFT = "end-of-shift"
    LIFTED_AGAIN = "lifted-again"
    PLUG_BACK_IN = "plug-back-in"
    DIAGNOSIS = "diagnosis-with-voltage"
    OTHER = "other"


#: A step was worked that says it ends the hold.
WORKED = "worked"
HOURS = "hours"
_WORDS = {
    Reason.END_OF_SHIFT: "the shift ended",
    Reason.LIFTED_AGAIN: "the vehicle was lifted again",
    Reason.PLUG_BACK_IN: "the plug was back in",
    Reason.DIAGNOSIS: "voltage was on for diagnosis",
}
_BY_ANOTHER = "somebody else passed it, and each person who goes on working passes it themselves"


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How a hold stands at one moment, for one person or for all.

    `lapsed` says in words why it stands no longer, `lapsed_at` when that was.
    """

    passed: Happened | None = None
    lapsed: str = ""
    lapsed_at: str = ""
    good_until: str = ""

    @property
    def stands(self) -> bool:
        """Whether work may go on behind it."""
        return self.passed is not None and not self.lapsed


def standing(
    desk: Desk, hold: Hold, *, at: str = "", by: str = "", before: int | None = None
) -> Standing:
    """How a hold stands at a time for whoever works then; `before` looks back from an act.

    Without a time it is judged by what was said and done alone, without a person for everybody.
    """
    passes = [
        item
        for item, said in desk.state.each(HoldPassed)
        if said.hold == hold.id and (before is None or item.seq < before)
    ]
    if not passes:
        return Standing()
    own = [item for item in passes if not (hold.per_person and by) or item.by == by]
    if not own:
        return Standing(passed=passes[-1], lapsed=_BY_ANOTHER)
    last = own[-1]
    said = _said(desk, hold, last, before)
    return said or _by_the_clock(hold, last, at)


def _said(desk: Desk, hold: Hold, last: Happened, before: int | None) -> Standing | None:
    """It lapsed because somebody said so, or worked a step that ends it."""
    for item, lapsed in desk.state.each(HoldLapsed):
        counts = item.seq > last.seq and (before is None or item.seq < before)
        if lapsed.hold == hold.id and counts:
            return Standing(passed=last, lapsed=_why(desk, lapsed), lapsed_at=item.at)
    return None


def _why(desk: Desk, lapsed: HoldLapsed) -> str:
    step = desk.plan.step_of.get(lapsed.step)
    if lapsed.reason == WORKED and step is not None:
        return f"step {step.number} ({step.title}) was worked"
    known = _WORDS.get(Reason(lapsed.reason), "") if lapsed.reason in set(Reason) else ""
    return ": ".join(filter(None, (known, lapsed.words))) or "it was said to stand no longer"


def _by_the_clock(hold: Hold, last: Happened, at: str) -> Standing:
    said = last.effect
    good_until = said.good_until if isinstance(said, HoldPassed) else ""
    if not good_until or not at or at < good_until:
        return Standing(passed=last, good_until=good_until)
    by_hours = isinstance(said, HoldPassed) and said.until == HOURS
    why = f"its {hold.valid_hours} hours were over" if by_hours else "the shift ended"
    return Standing(passed=last, lapsed=why, lapsed_at=good_until, good_until=good_until)


def good_until(desk: Desk, hold: Hold, at: str) -> tuple[str, str]:
    """Until when a hold passed now stands, and what ends it then; empty where no time does."""
    ends = []
    if hold.valid_hours:
        ends.append((later(at, hours=hold.valid_hours), HOURS))
    if hold.until_shift_end:
        end = shift_end_after(at, desk.shift_ends, desk.zone)
        ends += [(end, Reason.END_OF_SHIFT.value)] if end else []
    return min(ends, default=("", ""))


def holds_before(desk: Desk, step: Step, phase: Phase) -> Iterator[tuple[Step, Hold]]:
    """The holds that stand before work at a step in one direction, each with its own step.

    A hold for both directions stands on the way back before whatever it stood before on the way
    out.
    """
    plan = desk.plan
    for name in (step.id, *ancestors(plan, step, phase)):
        for hold in plan.step_of[name].holds:
            if hold.asked_in(phase):
                yield plan.step_of[name], hold
    if phase is Phase.REFIT and step.phase is not Phase.REFIT:
        back = {step.id, *ancestors(plan, step, phase)}
        for name in ancestors(plan, step, Phase.STRIP):
            for hold in plan.step_of[name].holds:
                if hold.when is Phase.BOTH and name not in back:
                    yield plan.step_of[name], hold


def lapse_words(desk: Desk, found: Standing) -> str:
    """Why and when a hold lapsed, for a sentence."""
    when = f" ({local_words(found.lapsed_at, desk.zone)})" if found.lapsed_at else ""
    return f"{found.lapsed}{when}"
