"""Whether anybody here has heard of a part, before a piece of it is let into the book."""

from __future__ import annotations

from partsvc.domain.desk import Draft
from partsvc.errors import NotFound


def in_catalogue(draft: Draft, part: str) -> None:
    """NotFound unless the catalogue has the part: what is bought or named needs a number."""
    if part not in draft.desk.parts:
        raise NotFound(
            f"The catalogue has no part {part}. Add it there first, or check the number.",
            part=part,
        )


def heard_of(draft: Draft, part: str) -> None:
    """NotFound unless catalogue, plan or book knows the part; a slip of the hand is no piece."""
    desk = draft.desk
    if (
        part not in desk.parts
        and not any(position.item(part) for position in desk.plan.positions.values())
        and not any(held.part == part for held in draft.book.holdings())
    ):
        raise NotFound(
            f"Nothing here is called {part}. Check the number; or record the piece as a stray.",
            part=part,
        )
