"""The store's shelf put right by a count: the difference passes the gate, with its reason."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.fields import PartNumber, Why
from partsvc.domain.acts.kinds import ActKind, Role
from partsvc.domain.acts.known import in_catalogue
from partsvc.domain.desk import WORKSHOP, Draft, total
from partsvc.domain.effects_supply import StockCounted
from partsvc.domain.places import STOCK, Condition, Gate
from partsvc.domain.records import Counted, Says


@dataclass(frozen=True, slots=True, kw_only=True)
class StockCount:
    """One part was counted on the store's shelf."""

    part: PartNumber
    counted: Annotated[Counted, Says("how many are there")]
    reason: Why


def count_stock(draft: Draft, act: StockCount) -> None:
    """What is on the shelf is what the book has from now on; the difference keeps its reason."""
    if not draft.book.at(STOCK, act.part):
        in_catalogue(draft, act.part)
    there = draft.book.at(STOCK, act.part)
    book = total(there)
    if act.counted > book:
        draft.gate_in(
            act.part,
            act.counted - book,
            STOCK,
            gate=Gate.STOCK_CORRECTION,
            condition=Condition.NEW,
            lot=draft.doing.key,
        )
    for held in draft.draw(there, max(0, book - act.counted)):
        draft.gate_out(held, gate=Gate.STOCK_CORRECTION)
    draft.effect(
        StockCounted(part=act.part, counted=act.counted, book=book, reason=act.reason),
    )


KINDS = (
    ActKind(
        kind="stock-count",
        group="parts",
        request=StockCount,
        function=count_stock,
        roles=frozenset({Role.PARTS, Role.LEAD}),
        accounts=frozenset({WORKSHOP}),
        says="One part counted on the store's shelf; the store's book follows.",
        example={"part": "KF-1010", "counted": 12, "reason": "yearly count"},
    ),
)
