"""Nobody brings voltage to where another person may be working.

Each person who works hangs their own lock, and one of them keeps the service plug: usual practice
in the trade for making an installation safe. Whoever is to switch on has all of these back first.
"""

from __future__ import annotations

from dataclasses import replace

from partsvc.domain.custody import held_by_people, locks_on
from partsvc.domain.desk import Draft
from partsvc.domain.effects import Overridden
from partsvc.domain.ledger import Holding
from partsvc.domain.plan import Step

RULE = "locked-by-others"


def nobody_exposed(draft: Draft, step: Step) -> None:
    """Object to a step that brings voltage back while another's lock is on or the plug is away."""
    if not step.energises:
        return
    locks = [one.person for one in locks_on(draft.desk.state) if not _own(draft, one.person)]
    if locks:
        _object(draft, step, locks, _locks_words(len(set(locks))))
    with_others = [
        held.spot.place.at for held in _plugs(draft) if held.spot.place.at not in draft.doing.people
    ]
    if with_others:
        _object(
            draft,
            step,
            with_others,
            "what switches it on is in another person's lock box. Have it handed over first",
        )
    if not locks and locks_on(draft.desk.state):
        draft.warn("Your own lock is still on: take it off, and record it.")


def _own(draft: Draft, person: str) -> bool:
    """Only on a person's own sign-in is it known that they are here themselves."""
    return person == draft.doing.by == draft.doing.recorded_by


def _locks_words(people: int) -> str:
    whose = "another person's lock is" if people == 1 else f"the locks of {people} others are"
    return f"{whose} on the vehicle. Each takes off their own, and records it, first"


def _plugs(draft: Draft) -> list[Holding]:
    homes = {
        position.id
        for step in draft.desk.plan.steps
        if step.energises
        for position in step.positions
    }
    held = held_by_people(draft.book, draft.desk.account)
    return [one for one in held if one.spot.lot in homes]


def _object(draft: Draft, step: Step, people: list[str], words: str) -> None:
    before = len(draft.effects)
    draft.objection(
        RULE,
        f"Step {step.number} ({step.title}) brings voltage back, and {words}. The custody list of "
        "the job says who it is.",
        people=tuple(dict.fromkeys(people)),
    )
    if step.high_voltage:
        draft.effects[before:] = [
            replace(one, stops=True) if isinstance(one, Overridden) else one
            for one in draft.effects[before:]
        ]
