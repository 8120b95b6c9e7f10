"""The last counts of the store's shelf: what was counted, and what the book had before."""

from __future__ import annotations

from dataclasses import dataclass

from partsvc.domain.effects_supply import StockCounted
from partsvc.domain.parts import part_words
from partsvc.work.facts import workshop_desk
from partsvc.work.service import Service


@dataclass(frozen=True, slots=True, kw_only=True)
class StockCountShown:
    """One part as it was counted on the shelf; `over` is what the book lacked, or had too much."""

    part: str
    called: str
    counted: int
    book: int
    over: int
    reason: str
    by: str
    at: str


def last_counts(service: Service, *, most: int = 20) -> tuple[StockCountShown, ...]:
    """The last counts, newest first."""
    with service.database.reading() as db:
        desk = workshop_desk(service, db)
    counts = list(desk.state.each(StockCounted))[-most:]
    return tuple(
        StockCountShown(
            part=one.part,
            called=part_words(one.part, desk.parts.get(one.part)),
            counted=one.counted,
            book=one.book,
            over=one.counted - one.book,
            reason=one.reason,
            by=happened.by,
            at=happened.at,
        )
        for happened, one in reversed(counts)
    )
