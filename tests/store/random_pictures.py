"""Tapping on photos in rough weeks: old ones, new ones, at places that are not there."""

from __future__ import annotations

from collections.abc import Callable

from random_moment import Members, Moment

from partsvc.domain.records import Plain


def spots(at: Moment) -> Members:
    """Up to four spots, or none, on a photo of the few that the week knows."""
    photo = f"{at.number(9):064x}"
    on: Members = {"photos": [photo]} if at.chance(60) else {"photo": photo}
    tapped: list[Plain] = [_spot(at) for _ in range(at.rng.randint(0, 4))]
    return {"step": at.step(), "spots": tapped, **on}


def _spot(at: Moment) -> Plain:
    where: Members = {"x_permille": at.rng.randint(0, 1000), "y_permille": at.rng.randint(0, 1000)}
    if at.chance(15):
        return {**where, "added_by": at.key_sent()}
    return {**where, "position": at.position()}


MAKERS: dict[str, Callable[[Moment], Members]] = {"spots": spots}
