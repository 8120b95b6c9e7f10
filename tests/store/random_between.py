"""Random acts of what leaves a job's own bags: sent away, exchanged, lent, found in the bay."""

from __future__ import annotations

from collections.abc import Callable

from ledger_bench import WORKSHOP
from random_moment import Members, Moment, in_bag, part_in_bag

from partsvc.domain.carriers import lying_on
from partsvc.domain.parts import is_stray
from partsvc.domain.places import PlaceKind
from partsvc.domain.records import Plain
from partsvc.store import between

ANSWERS = ("transferred", "gone-with-it", "came-new")
OUTSIDE = ("paint shop", "Paint  Shop", "make\u0301r")


def _send_away(at: Moment) -> Members:
    where: Members = in_bag(at)
    if at.chance(40):
        where = {"position": at.position(), **at.some(quantity=at.number(2))}
    told = at.some(words="scratched", due=at.rng.choice(["2001-01-01", "2099-12-31", "2030-02-31"]))
    return {**where, "to": at.rng.choice(OUTSIDE), **told}


def _come_back(at: Moment) -> Members:
    out = at.held(PlaceKind.AWAY)
    if not out or at.chance(10):
        return {"bag": at.bag(), **at.some(part=at.part(), quantity=at.number(2))}
    held = at.rng.choice(out)
    found: Members = {"from": held.spot.place.at, "repaired": True, "lot": held.spot.lot}
    return {"bag": at.bag(), **at.some(part=held.part, **found), **at.some(quantity=at.number(2))}


def _exchange_carrier(at: Moment) -> Members:
    """Mostly the carrier where it lies, with an answer for each place on it or for all of them."""
    carrier = at.rng.choice(["K1", "K1", "K1", at.position()])
    bags = [held.spot.place.at for held in at.held(PlaceKind.BAG) if held.spot.lot == carrier]
    answers: list[Plain] = [
        {"position": one.id, "answer": at.rng.choice(ANSWERS)}
        for one in lying_on(at.desk.plan, carrier)
        if at.chance(60)
    ]
    rest: Members = {"rest": at.rng.choice(ANSWERS)} if at.chance(85) else {}
    return {
        "position": carrier,
        "bag": at.rng.choice(bags) if bags and at.chance(90) else at.bag(),
        "answers": answers,
        **rest,
        **at.some(returns=True, to="maker"),
    }


def _other_job(at: Moment) -> str:
    return at.rng.choice([*at.world.jobs, "1", "2", "99"])


def _lend(at: Moment) -> Members:
    what = part_in_bag(at)
    if at.chance(40):
        name = at.position()
        found = at.desk.plan.positions.get(name)
        what = {"position": name, "part": found.stack[0].part if found else "C"}
    return {**what, "to_job": _other_job(at), **at.some(words="the other van's broke")}


def _borrow(at: Moment) -> Members:
    said = list(at.desk.said_elsewhere)
    other, part = _other_job(at), at.part()
    if said and at.chance(70):
        one = at.rng.choice(said)
        other, part = one.account, one.effect.part
    elif at.chance(20):
        other = WORKSHOP
    return {
        "from_job": other,
        "bag": at.bag(),
        "part": part,
        **at.some(quantity=at.number(2), position=at.position(), condition="used"),
    }


def _stray_in_bay(at: Moment) -> Members:
    known = at.some(looks_like=at.part(), thread="M8", length_mm=at.number(60))
    return {"bag": at.world.bench.tags[-1], "words": "long bolt on the floo\u0301r", **known}


def _identify_in_bay(at: Moment) -> Members:
    service = at.world.bench.service
    with service.database.reading() as db:
        held = between.in_bags(db, service.site, WORKSHOP)
    strays = sorted(one.part for one in held if is_stray(one.part))
    return {
        "what": at.rng.choice(strays) if strays else "stray:none",
        "is_a": at.rng.choice(["of-job", "of-job", "stores-own", "not-known", "one-more"]),
        **({"part": at.part(), "of_job": _other_job(at)} if at.chance(85) else {}),
        **at.some(reason="asked all"),
    }


MAKERS: dict[str, Callable[[Moment], Members]] = {
    "send-away": _send_away,
    "come-back": _come_back,
    "exchange-carrier": _exchange_carrier,
    "lend": _lend,
    "borrow": _borrow,
}

# What is recorded on the workshop's own account as well, by people of every role.
IN_THE_BAY: dict[str, Callable[[Moment], Members]] = {
    "stray": _stray_in_bay,
    "identify": _identify_in_bay,
}
