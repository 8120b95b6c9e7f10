"""Why the order of this vehicle is not that of its procedure: what differs, what was repaired."""

from __future__ import annotations

from dataclasses import replace

from partsvc.domain.desk import Desk
from partsvc.domain.effects_variants import Differing
from partsvc.domain.endings import taken_over_by
from partsvc.domain.order_list import OrderLine, OrderList
from partsvc.domain.this_vehicle import repairs


def with_reasons(wanted: OrderList, desk: Desk) -> OrderList:
    """The order, each line saying what of it is owed to this vehicle alone.

    What another job took over is ordered there.
    """
    if taken_over_by(desk.state):
        return replace(wanted, lines=(), consumables=(), not_named=())
    said = _said_at(desk)
    return replace(wanted, lines=tuple(_with_reason(line, desk, said) for line in wanted.lines))


def _said_at(desk: Desk) -> list[tuple[str, str]]:
    """Positions with what is otherwise there than planned, in words."""
    differing = (
        (said.position, f"this vehicle differs: {said.words} ({said.reason})")
        for _, said in desk.state.each(Differing)
    )
    repaired = (
        (position, f"after a repair: {words}") for position, words in repairs(desk.state).items()
    )
    return [*differing, *repaired]


def _with_reason(line: OrderLine, desk: Desk, said: list[tuple[str, str]]) -> OrderLine:
    meant = {line.part, *line.instead_of}
    reasons = tuple(
        words
        for position, words in said
        if (found := desk.plan.positions.get(position)) is not None
        and meant & {item.part for item in found.stack}
    )
    return replace(line, why=(*line.why, *reasons)) if reasons else line
