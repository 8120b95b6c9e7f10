"""What lies in a job's old-parts bag: replaced or broken pieces that nobody wants back.

A piece that a finding at a position names is not among them: a good piece thrown into this bag by
mistake is still wanted at home.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Annotated

from partsvc.domain.checks_position import Explained, position_findings
from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.ledger import Holding
from partsvc.domain.look import called
from partsvc.domain.places import PlaceKind
from partsvc.domain.records import Says
from partsvc.domain.tag_kinds import for_old_parts, is_done_with


class Becomes(StrEnum):
    """What becomes of the old parts when the job is released."""

    DISCARDED = "discarded"
    KEPT = "kept-for-warranty"


@dataclass(frozen=True, slots=True, kw_only=True)
class OldPart:
    """So many old pieces of one part in an old-parts bag."""

    bag: Annotated[str, Says("the bag's tag, as printed")]
    part: str
    called: str
    quantity: int
    condition: str
    stowed_at: str = ""


def done_with(desk: Desk) -> tuple[Holding, ...]:
    """The pieces in old-parts bags that no position asks for, in a settled order."""
    explained = Explained()
    for _ in position_findings(desk, explained):
        pass
    return tuple(_free(desk, explained))


def _free(desk: Desk, explained: Explained) -> Iterator[Holding]:
    for held in sorted(desk.book.holdings(), key=lambda one: (one.spot, one.part)):
        own = held.spot.account == desk.account and is_done_with(desk, held)
        quantity = explained.free(held) if own else 0
        if quantity > 0:
            yield replace(held, quantity=quantity)


def old_parts(desk: Desk) -> tuple[OldPart, ...]:
    """The pieces in old-parts bags that no position asks for, as people read them."""
    return tuple(
        OldPart(
            bag=shown_bag(held.spot.place.at),
            part=held.part,
            called=called(desk, held.part),
            quantity=held.quantity,
            condition=held.spot.condition.value,
            stowed_at=desk.state.stowed.get(held.spot.place.at, ""),
        )
        for held in done_with(desk)
    )


def emptied_by_release(desk: Desk) -> frozenset[str]:
    """The old-parts bags whose contents were thrown away by the newest release itself."""
    last = desk.state.last_release
    at = last.seq if last is not None else -1
    return frozenset(
        code
        for code in desk.state.tags
        if for_old_parts(desk, code) and desk.touched.get(f"bag:{code}") == at
    )


def nothing_to_look_into(desk: Desk) -> frozenset[str]:
    """Old-parts bags that nobody needs to see empty: thrown away, or kept with what is in them."""
    keeps = {
        held.spot.place.at
        for held in desk.book.holdings()
        if held.quantity > 0 and held.spot.account == desk.account and is_done_with(desk, held)
    }
    full = {
        held.spot.place.at
        for held in desk.book.holdings()
        if held.quantity > 0
        and held.spot.account == desk.account
        and held.spot.place.kind is PlaceKind.BAG
        and not is_done_with(desk, held)
    }
    return frozenset(keeps - full) | emptied_by_release(desk)
