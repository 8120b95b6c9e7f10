"""Random acts about vehicles that are not as planned, and about jobs that end incomplete."""

from __future__ import annotations

from collections.abc import Callable

from random_moment import Members, Moment

from partsvc.domain.places import PlaceKind
from partsvc.domain.records import Plain

DEFECTS = ["cracked", "stripped-thread", "corroded", "bent", "leaking", "chafed", "other"]


def _does_not_apply(at: Moment) -> Members:
    what: Members = {"position": at.position()} if at.chance(75) else {"step": at.step()}
    return {**what, "reason": "not on this e\u0301 model"}


def _differs(at: Moment) -> Members:
    name = at.position()
    found = at.desk.plan.positions.get(name)
    part = at.rng.choice(found.stack).part if found else "B"
    other: Members = {"becomes": at.part()} if at.chance(50) else {"words": "black screw"}
    return {
        "position": name,
        "reason": "as it is",
        "part": part,
        **(other if at.chance(70) else {}),
        **at.some(sets=at.number(6)),
    }


def _not_done(at: Moment) -> Members:
    return {"step": at.step(), "reason": "seized"}


def _arrived_off(at: Moment) -> Members:
    how: Members = {"bag": at.bag()} if at.chance(40) else {}
    how = how or {at.rng.choice(["loose", "missing", "own_hole"]): True}
    which: Members = {"positions": [at.position(), at.position()]}
    if at.chance(30):
        which = {"step": at.step()}
    return {**which, **how, "words": "in a box", **at.some(sets=at.number(2))}


def _hand_over(at: Moment) -> Members:
    why = at.rng.choice(["cancelled", "written-off", "towed-away", "other"])
    return {"why": why, "to": "somebody", **({"words": "so be it"} if at.chance(80) else {})}


def put_on_from_bag(at: Moment) -> Members:
    """A piece out of a bag that serves as a tool for a while."""
    bagged = at.held(PlaceKind.BAG)
    if not bagged:
        return {}
    held = at.rng.choice(bagged)
    return {
        "step": at.step(),
        "bag": held.spot.place.at,
        **({"part": held.part} if at.chance(80) else {}),
        **at.some(words="locating stud", quantity=at.number(2)),
    }


def take_off_into_bag(at: Moment) -> Members:
    """A piece that served as a tool, back into a bag."""
    on = [one for one in at.held(PlaceKind.ON_VEHICLE) if ":" not in one.part]
    if not on:
        return {}
    held = at.rng.choice(on)
    return {
        "step": held.spot.place.at,
        "bag": at.bag(),
        **at.some(part=held.part, quantity=at.number(2)),
    }


def defect(at: Moment) -> Members:
    """What kind of damage a remark is of, if any."""
    return at.some(defect=at.rng.choice(DEFECTS))


def repair(at: Moment) -> Members:
    """A defect put right, mostly one that was remarked."""
    remarks = [one for one in at.desk.state.remarks if getattr(one.effect, "position", "")]
    if not remarks or at.chance(20):
        return {"position": at.position(), "repaired": "straightened", "reason": "as found"}
    happened = at.rng.choice(remarks)
    place: Plain = getattr(happened.effect, "position", "")
    return {
        "position": place,
        "repaired": "thread insert",
        "settles": happened.act,
        "reason": "as the maker allows",
        **at.some(becomes=at.part()),
    }


MAKERS: dict[str, Callable[[Moment], Members]] = {
    "does-not-apply": _does_not_apply, "differs": _differs, "not-done": _not_done,
    "arrived-off": _arrived_off, "hand-over-incomplete": _hand_over,
}  # fmt: skip
