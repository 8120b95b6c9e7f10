"""Random acts on whole steps, boards and bags without a readable tag."""

from __future__ import annotations

from collections.abc import Callable

from random_moment import Members, Moment

from partsvc.domain.places import PlaceKind
from partsvc.domain.records import Plain


def _step_with_pieces(at: Moment) -> str:
    """Mostly a step that has positions."""
    found = [step.id for step in at.desk.plan.steps if step.positions]
    return at.rng.choice(found) if found and at.chance(90) else at.step()


def _remove_step(at: Moment) -> Members:
    into: Members = {"own_hole": True} if at.chance(20) else {"bag": at.bag()}
    return {"step": _step_with_pieces(at), **into, **at.some(**_too_much(at))}


def _too_much(at: Moment) -> Members:
    """Now and then a number, which is of one position and not of a step."""
    return {"quantity": at.number()} if at.chance(5) else {}


def _fit_step(at: Moment) -> Members:
    return {"step": _step_with_pieces(at), **at.some(bag=at.bag())}


def _secure_step(at: Moment) -> Members:
    values: list[Plain] = [{"name": "gap", "value": "0.5", "unit": "mm"}]
    setting = at.rng.choice(["20 N·m", "110 N\u00b7m", "hand tight"])
    stage = at.rng.choice(["torque", "angle"])
    return {
        **_fit_step(at),
        **at.some(tool="T7", setting=setting, values=values),
        **({"stage": stage} if at.chance(20) else {}),
    }


def _inspect_step(at: Moment) -> Members:
    result = "pass" if at.chance(90) else "fail"
    return {"step": _step_with_pieces(at), "result": result, **at.some(uses=at.rng.randint(0, 3))}


def _take_off_step(at: Moment) -> Members:
    on = [held.spot.place.at for held in at.held(PlaceKind.ON_VEHICLE)]
    return {"step": at.rng.choice(on) if on and at.chance(90) else at.step()}


def _exchange_bag(at: Moment) -> Members:
    return {"bag": at.bag(), "old_parts": at.bag()}


# A whole step or bag in the place of one position, part or item of it.
WHOLE: dict[str, Callable[[Moment], Members]] = {
    "remove": _remove_step, "fit": _fit_step, "secure": _secure_step, "inspect": _inspect_step,
    "take-off": _take_off_step, "exchange": _exchange_bag,
}  # fmt: skip


def _retag(at: Moment) -> Members:
    old = at.bag()
    lying = [held for held in at.held(PlaceKind.BAG) if held.spot.place.at == old]
    counts: dict[str, int] = {}
    for held in lying:
        counts[held.part] = counts.get(held.part, 0) + held.quantity
    if at.chance(20) and counts:
        counts[sorted(counts)[0]] += 1
    counted: list[Plain] = [{"part": part, "quantity": n} for part, n in sorted(counts.items())]
    used = set(at.desk.state.tags)
    blank = [tag for tag in at.world.bench.tags if tag not in used]
    into = at.rng.choice(blank) if blank and at.chance(85) else at.bag()
    doubt: Members = {"doubt": "no stép on it"} if at.chance(25) else {}
    return {"into": into, **({"bag": old} if at.chance(90) else {}), "counted": counted, **doubt}


MAKERS: dict[str, Callable[[Moment], Members]] = {"retag": _retag}
