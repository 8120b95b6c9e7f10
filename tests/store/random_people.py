"""What people say of themselves with any act, and what becomes of refused ones: at random."""

from __future__ import annotations

from collections.abc import Callable

from random_moment import Members, Moment


def _refused_key(at: Moment) -> str:
    """Mostly a queued act that was refused and waits; sometimes a key of nothing."""
    waiting = [one.key for one in at.desk.refused]
    return at.rng.choice(waiting) if waiting and at.chance(90) else at.world.bench.new_key()


def _dismiss(at: Moment) -> Members:
    return {"refused": _refused_key(at), "reason": "scanned twic\u0065\u0301"}


def envelope(at: Moment) -> Members:
    """Who stood by, whether it was done alone, whether a device had it in its queue."""
    said: Members = {}
    if at.chance(5):
        said["supervised_by"] = at.rng.choice(["mate", "lead", "quality"])
    if at.chance(5):
        said["alone"] = {"reason": "Saturday"}
    if at.chance(20):
        said["queued"] = True
    if at.chance(4):
        said["amends"] = _refused_key(at)
    return said


MAKERS: dict[str, Callable[[Moment], Members]] = {"dismiss": _dismiss}
