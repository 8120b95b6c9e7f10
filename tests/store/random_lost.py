"""Lost, found, searched for and broken, made up at random."""

from __future__ import annotations

from collections.abc import Callable

from random_moment import Members, Moment, in_bag, part_in_bag

from partsvc.domain.fragments import fragments
from partsvc.domain.losses import losses
from partsvc.domain.places import PlaceKind

RESTS = ["all-here", "in-vehicle", "lost"]


def _lose(at: Moment) -> Members:
    if at.chance(50):
        return part_in_bag(at)
    return {"part": at.part(), "position": at.position(), **at.some(quantity=at.number(2))}


def _find(at: Moment) -> Members:
    rests = list(fragments(at.desk.state))
    if rests and at.chance(40):
        return {"fragment": True, **_where_it_broke(at)}
    lost = [held.part for held in at.held(PlaceKind.LOST)]
    part = at.rng.choice(lost) if lost and at.chance(80) else at.part()
    into: Members = {"discard": True} if at.chance(30) else {"bag": at.bag()}
    return {"part": part, **into, **at.some(quantity=at.number(2), words="under the se\u0301at")}


def _where_it_broke(at: Moment) -> Members:
    one = at.rng.choice(list(fragments(at.desk.state)))
    where: Members = {"position": one.position} if one.position else {"bag": one.bag}
    return {**where, **at.some(part=one.part, lot=one.broke, quantity=at.number(2))}


def _search(at: Moment) -> Members:
    said: Members = {"where": "all of it", "result": "nothing"}
    lost = [act for loss in losses(at.desk) for act in sorted(loss.acts)]
    if lost and at.chance(60):
        return {**said, "loss": at.rng.choice(lost)}
    return {
        **said,
        **at.some(vehicle=True, bay=True, position=at.position(), lot="P1", loss=at.key_sent()),
    }


def _broke(at: Moment) -> Members:
    rest = at.some(rest=at.rng.choice(RESTS))
    if at.chance(30):
        return {**in_bag(at), **rest}
    standing = at.held(PlaceKind.LOOSE, PlaceKind.SECURED, PlaceKind.OWN_HOLE)
    if not standing or at.chance(10):
        return {"position": at.position(), **rest, **at.some(part=at.part())}
    held = at.rng.choice(standing)
    return {
        "position": held.spot.place.at,
        "part": held.part,
        **rest,
        **at.some(quantity=at.number(2), lot=held.spot.lot, words="sheared off"),
    }


def rest_of(at: Moment, broken: int) -> Members:
    """Where the rest of pieces that broke when they came off is; mostly said of broken ones."""
    if broken or at.chance(3):
        return at.some(rest=at.rng.choice(RESTS))
    return {}


MAKERS: dict[str, Callable[[Moment], Members]] = {
    "lose": _lose, "find": _find, "search": _search, "broke": _broke,
}  # fmt: skip
