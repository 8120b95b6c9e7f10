"""Plugs in lock boxes, locks on the vehicle, holds that lapse: at random."""

from __future__ import annotations

from collections.abc import Callable

from random_moment import Members, Moment, at_position

from partsvc.domain.custody import locks_on
from partsvc.domain.places import PlaceKind

PEOPLE = ["tech", "mate", "lead"]
HOLDS = ["H1", "H2", "HV-H", "H-UP", "H-WAIT", "H-SHUT"]


def _person(at: Moment) -> str:
    return at.rng.choice(PEOPLE) if at.chance(97) else "nobody"


def _holder(at: Moment) -> str:
    """Mostly somebody who holds something."""
    held = [one.spot.place.at for one in at.held(PlaceKind.WITH)]
    return at.rng.choice(held) if held and at.chance(85) else _person(at)


def _hand_over(at: Moment) -> Members:
    held = at.held(PlaceKind.WITH)
    what: Members = {}
    if held and at.chance(40):
        one = at.rng.choice(held)
        what = at.some(part=one.part, position=one.spot.lot)
    giver = _holder(at)
    takers = [one for one in PEOPLE if one != giver] if at.chance(90) else [*PEOPLE, "nobody"]
    said: Members = {"from_person": giver} if at.chance(85) else {}
    return {"to": at.rng.choice(takers), **what, **said}


def _lock(at: Moment) -> Members:
    return at.some(step=at.step())


def _unlock(at: Moment) -> Members:
    on = locks_on(at.desk.state)
    if not on or at.chance(10):
        return at.some(person=_person(at), step=at.step())
    lock = at.rng.choice(on)
    return {"person": lock.person, **({"step": lock.step} if lock.step else {})}


def _lapse(at: Moment) -> Members:
    passed = sorted(at.desk.state.holds)
    hold = at.rng.choice(passed) if passed and at.chance(90) else at.rng.choice(HOLDS)
    reason = at.rng.choice(["end-of-shift", "lifted-again", "plug-back-in", "other"])
    return {"hold": hold, "reason": reason, **({"words": "e\u0301"} if at.chance(90) else {})}


def _into_a_box(at: Moment) -> Members:
    return {**at_position(at), "with_person": _person(at)}


def _out_of_a_box(at: Moment) -> Members:
    held = at.held(PlaceKind.WITH)
    if not held:
        return {**at_position(at), "from_person": _person(at)}
    one = at.rng.choice(held)
    position = one.spot.lot if one.spot.lot in at.desk.plan.positions else at.position()
    return {"position": position, **at.some(from_person=one.spot.place.at, part=one.part)}


def _out_of_a_box_into_a_bag(at: Moment) -> Members:
    return {"from_person": _holder(at), "into": at.bag()}


MAKERS: dict[str, Callable[[Moment], Members]] = {
    "hand-over": _hand_over,
    "lock": _lock,
    "unlock": _unlock,
    "lapse": _lapse,
}

#: The same kinds of act as every day, with somebody's box instead of a bag.
BOXES: dict[str, Callable[[Moment], Members]] = {
    "remove": _into_a_box,
    "fit": _out_of_a_box,
    "secure": _out_of_a_box,
    "rebag": _out_of_a_box_into_a_bag,
}


def made_with(at: Moment) -> Members:
    """The equipment a hold was passed with, some of it known and past its date."""
    return at.some(gloves=at.rng.choice(["G1", "M3"]), lift=at.rng.choice(["L1", "L9"]))
