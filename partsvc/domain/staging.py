"""How many pieces wait at one stage of tightening for the next: those still in place, and no more.

A piece taken out between two stages takes its stage with it, and the new one in its place begins
at the first. Nobody can tell them apart, so the piece that leaves is taken to be the one least far.
"""

from __future__ import annotations

from collections.abc import Iterable

from partsvc.domain.effects import StageDone
from partsvc.domain.job_state import Happened
from partsvc.domain.ledger import Entry, Posted
from partsvc.domain.places import PlaceKind, loose
from partsvc.domain.reuse import renamed


def waiting_for(
    stage: str,
    *,
    after: str,
    position: str,
    part: str,
    posted: Iterable[Posted],
    happened: Iterable[Happened],
) -> int:
    """How many pieces lie loose at a position with the stage `after` done and `stage` not.

    What was done before a part had its name, or under a wrong one, counts under the right one.
    """
    entries, last_name = renamed(posted)
    steps: list[tuple[int, StageDone | Entry]] = [
        (item.seq, item.effect)
        for item in happened
        if isinstance(item.effect, StageDone)
        and item.effect.position == position
        and last_name.get((item.effect.part, position), item.effect.part) == part
    ]
    steps += [(item.seq, item.entry) for item in entries if item.entry.part == part]
    here, waiting, lying = loose(position), 0, 0
    for _, step in sorted(steps, key=lambda one: one[0]):
        match step:
            case StageDone(stage=done) if done == after:
                waiting += step.quantity
            case StageDone(stage=done) if done == stage:
                waiting = max(0, waiting - step.quantity)
            case Entry(target=target, source=source) if here in (target.place, source.place):
                came = target.place == here
                lying += step.quantity if came else -step.quantity
                if not came and target.place.kind is not PlaceKind.SECURED:
                    waiting = min(waiting, lying)
            case _:
                continue
    return waiting
