"""Remarks that nobody has settled, as the bench shows them: what quality sent back, and where.

A remark is how a checker sends a job back; whoever works on it sees it before anything else.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from partsvc.domain.checks_elsewhere import remarks
from partsvc.domain.checks_position import Explained
from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.effects import Accepted, Remarked


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenRemark:
    """A remark that still stands: its words, where, who saw it and when, its photos."""

    act: str
    words: str
    step: str
    step_number: int
    position: str
    where: str
    bag: str
    by: str
    at: str
    photos: tuple[str, ...]


def open_remarks(desk: Desk) -> tuple[OpenRemark, ...]:
    """The remarks that were neither taken as they are nor settled by a repair, newest first."""
    return tuple(reversed(tuple(_open(desk))))


def _open(desk: Desk) -> Iterator[OpenRemark]:
    taken = {said.lot for _, said in desk.state.each(Accepted) if said.finding == "remark"}
    written = {item.act: item for item in desk.state.remarks}
    for finding in remarks(desk, Explained()):
        happened = written[finding.lot]
        if finding.lot in taken or not isinstance(happened.effect, Remarked):
            continue
        position = desk.plan.positions.get(finding.position)
        yield OpenRemark(
            act=happened.act,
            words=happened.effect.words,
            step=finding.step,
            step_number=finding.step_number,
            position=finding.position,
            where=position.where if position else "",
            bag=shown_bag(finding.bag) if finding.bag else "",
            by=desk.names.get(happened.by, happened.by),
            at=happened.at,
            photos=finding.photos,
        )
