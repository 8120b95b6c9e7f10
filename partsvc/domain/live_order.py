"""The order of a job with its order lines beside it: what was asked for, and how far that is."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from partsvc.domain.order_lines import NOTHING, LineKind, LineState, plain
from partsvc.domain.order_list import Consumable, OrderLine, OrderList, successor
from partsvc.domain.order_view import LiveLine
from partsvc.domain.parts import Part

# A consumable whose amount the plan leaves to the maker is asked for as one pack of it.
ONE_PACK = Decimal(1)


def with_lines(order: OrderList, lines: Sequence[LiveLine], parts: Mapping[str, Part]) -> OrderList:
    """The order with each line's live state, and what is still to be asked for of consumables."""
    of_part: dict[str, list[LiveLine]] = defaultdict(list)
    of_consumable: dict[tuple[str, str], list[LiveLine]] = defaultdict(list)
    for line in lines:
        if line.kind is LineKind.PART:
            of_part[successor(line.what, parts)].append(line)
        else:
            of_consumable[line.what, line.unit].append(line)
    wanted = {line.part for line in order.lines}
    asked_for = {(one.what, one.unit) for one in order.consumables}
    strangers = [
        *(line for part, own in of_part.items() if part not in wanted for line in own),
        *(line for what, own in of_consumable.items() if what not in asked_for for line in own),
    ]
    return replace(
        order,
        lines=tuple(_part(line, of_part[line.part]) for line in order.lines),
        consumables=tuple(
            _consumable(one, of_consumable[one.what, one.unit]) for one in order.consumables
        ),
        also_ordered=tuple(line for line in strangers if line.state is not LineState.CANCELLED),
    )


def _part(line: OrderLine, live: Sequence[LiveLine]) -> OrderLine:
    return replace(line, live=tuple(live), state=_state(live, to_order=bool(line.to_order)))


def _consumable(one: Consumable, live: Sequence[LiveLine]) -> Consumable:
    came = sum((Decimal(line.amount_delivered) for line in live), NOTHING)
    coming = sum((Decimal(line.amount_outstanding) for line in live), NOTHING)
    lacking = max(NOTHING, Decimal(one.amount or ONE_PACK) - came - coming)
    return replace(
        one,
        on_order=plain(coming) if coming else "",
        to_order=plain(lacking) if lacking else "",
        live=tuple(live),
        state=_state(live, to_order=bool(lacking)),
    )


def _state(live: Sequence[LiveLine], *, to_order: bool) -> str:
    """The states of all lines of a part in words, and that something is still to be asked for."""
    words = list(dict.fromkeys(line.words for line in live))
    return "; ".join([*words, *(["to be ordered"] if to_order else [])])
