"""What holds for every act of hands, whatever its kind: the job not stopped, nobody left alone.

What people see and say is never held up by these, nor what makes the vehicle safe: caps and covers
go on and come off, and bags are put away.
"""

from __future__ import annotations

from partsvc.domain.acts.kinds import HANDS, ActKind
from partsvc.domain.desk import Desk, Draft
from partsvc.domain.effects_people import Amended
from partsvc.domain.plan import Step
from partsvc.domain.stopping import passed_by, stop_words
from partsvc.errors import Invalid, NotFound

APPRENTICE = "apprentice"
_BY_HANDS = ("strip", "refit")
_GO_ON = ("missing", "arrived-off", "stray", "put-on", "take-off", "rebag", "stow")


def works_on_the_vehicle(kind: ActKind) -> bool:
    """Whether an act of this kind is work done on the vehicle, and no word or look."""
    return kind.kind == "done" or (kind.group in _BY_HANDS and kind.kind not in _GO_ON)


def not_stopped(draft: Draft, kind: ActKind, request: object) -> None:
    """Object to work on a job that stands still."""
    stop = next(passed_by(draft.desk.state), None) if works_on_the_vehicle(kind) else None
    if stop is not None:
        _say_where(draft, request)
        draft.objection("job-stopped", stop_words(draft.desk), hold=stop[1].hold)


def _say_where(draft: Draft, request: object) -> None:
    """The position or step that an act is about, before the act itself is judged."""
    position, step = (getattr(request, name, None) or "" for name in ("position", "step"))
    if position in draft.desk.plan.positions:
        draft.position(position)
    elif step in draft.desk.plan.step_of:
        draft.step_of(step)


def supervised(draft: Draft, kind: ActKind) -> None:
    """Object when an apprentice works on high voltage and nobody stands by."""
    doing = draft.doing
    apprentice = APPRENTICE in draft.desk.qualified.get(doing.by, frozenset())
    if not apprentice or doing.supervised_by:
        return
    step = draft.desk.plan.step_of.get(draft.step)
    if step is not None and _is_dangerous(step, kind):
        draft.objection(
            "supervision-needed",
            f"Step {step.number} is high-voltage work: an apprentice does it only with somebody "
            "standing by. Name them: `supervised_by`.",
        )


def _is_dangerous(step: Step, kind: ActKind) -> bool:
    """A step of high voltage, worked on or its hold passed; looking and telling is not."""
    return step.high_voltage and (kind.kind == "hold" or works_on_the_vehicle(kind))


def amends(draft: Draft) -> None:
    """Note which refused act this one puts right; an unknown one is told, and stops nobody."""
    wanted = draft.doing.amends
    if not wanted:
        return
    if any(one.key == wanted for one in draft.desk.refused):
        draft.effect(Amended(refused=wanted))
    else:
        draft.warn(
            "No refused act of that key waits on this job: nothing else was put right by this one. "
            "Look at the list of refused acts."
        )


def may_supervise(desk: Desk, person: str, *, by: str) -> None:
    """Invalid unless this is a technician or lead, trained, and somebody else than the doer."""
    if person not in desk.people:
        raise NotFound(f"Nobody here is called {person}.", supervised_by=person)
    trained = APPRENTICE not in desk.qualified.get(person, frozenset())
    if person == by or not (trained and HANDS & desk.people[person]):
        raise Invalid(
            "Name as `supervised_by` a technician or lead who stood by: not whoever did it, and no "
            "apprentice.",
            field="supervised_by",
        )
