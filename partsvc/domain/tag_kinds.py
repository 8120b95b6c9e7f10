"""What a tag is on: a bag, a kit of new parts, the old-parts bag, a board or one of its pockets."""

from __future__ import annotations

from enum import StrEnum

from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.ledger import Holding
from partsvc.domain.parts import is_stray
from partsvc.domain.places import Condition, PlaceKind


class TagKind(StrEnum):
    """What a tag is on."""

    BAG = "bag"
    KIT = "kit"
    OLD_PARTS = "old-parts"
    BOARD = "board"
    POCKET = "pocket"


def bag_words(desk: Desk, code: str) -> str:
    """What carries a tag, in words: a bag, or a pocket by its number."""
    board, number = desk.pockets.get(code, ("", 0))
    if board:
        return f"pocket {number} of board {shown_bag(board)}"
    return f"bag {shown_bag(code)}"


def for_old_parts(desk: Desk, code: str) -> bool:
    """Whether a tag is on an old-parts bag of this job."""
    return desk.state.tags.get(code) == TagKind.OLD_PARTS


def is_done_with(desk: Desk, held: Holding) -> bool:
    """Whether a piece lies where it may stay: used or broken, in an old-parts bag."""
    return (
        held.spot.place.kind is PlaceKind.BAG
        and for_old_parts(desk, held.spot.place.at)
        and held.spot.condition is not Condition.NEW
        and not is_stray(held.part)
    )
