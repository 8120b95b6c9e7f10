"""What temporary items are called in the book and by people."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass

from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.effects_temporaries import PutOnVehicle
from partsvc.domain.job_state import JobState
from partsvc.domain.ledger import Holding
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


@dataclass(frozen=True, slots=True, kw_only=True)
class PutOnAs:
    """What is known of an item on the vehicle: what for, where it belongs back, how it looks."""

    how: str = ""
    back: str = ""
    photos: tuple[str, ...] = ()


def put_on_as(state: JobState, held: Holding) -> PutOnAs:
    """What was said when the item was put on, as parts of a sentence."""
    said = [
        effect
        for _, effect in state.each(PutOnVehicle)
        if (effect.step, effect.part, effect.lot) == (held.spot.place.at, held.part, held.spot.lot)
    ]
    if not said:
        return PutOnAs()
    uses = ", ".join(dict.fromkeys(one.words for one in said if one.words))
    from_bag = said[-1].bag
    return PutOnAs(
        how=f" ({uses})" if uses and from_bag else "",
        back=f" and back into a bag (it came out of {shown_bag(from_bag)})" if from_bag else "",
        photos=tuple(dict.fromkeys(hash for one in said for hash in one.photos.split())),
    )


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
