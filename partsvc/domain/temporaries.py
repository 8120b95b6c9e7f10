"""What temporary items are called in the book and by people."""

from __future__ import annotations

import unicodedata

from partsvc.domain.desk import Desk
from partsvc.domain.parts import part_words
from partsvc.domain.plan import Temporary

PREFIX = "temporary:"


def temporary_part(temporary: Temporary) -> str:
    """The name a planned temporary item has in the book."""
    return temporary.part or PREFIX + temporary.id


def unlisted_part(words: str) -> str:
    """The name an item has in the book that no plan lists: its own words."""
    # Folding the case may undo the one Unicode form that records are kept in.
    return PREFIX + unicodedata.normalize("NFC", words.strip().casefold())[:70]


def temporary_words(desk: Desk, part: str, step_id: str) -> str:
    """What a person calls the item."""
    step = desk.plan.step_of.get(step_id)
    for temporary in step.temporaries if step else ():
        if temporary_part(temporary) == part:
            return temporary.words
    return (
        part.removeprefix(PREFIX)
        if part.startswith(PREFIX)
        else part_words(part, desk.parts.get(part))
    )
