"""Spots on a photo: where on it each position is, and in which order its pieces are tightened.

Whoever takes a cover off sees which bolt sits where; whoever puts it back weeks later does not.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from partsvc.domain.effects_pictures import SpotsTapped
from partsvc.domain.job_state import Happened, JobState

MOST_SPOTS = 60
"""More cannot be told apart on one photo; a second photo can."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoSpot:
    """One place on a photo, in thousandths from its left and from its top, and what is there."""

    x_permille: int
    y_permille: int
    position: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SpottedPhoto:
    """What holds now of one photo: its step, its spots in order, and the act that told them."""

    photo: str
    step: str
    spots: tuple[PhotoSpot, ...]
    told: Happened


def written(spots: Iterable[PhotoSpot]) -> str:
    """The spots as an effect keeps them: flat, in their order."""
    return " ".join(f"{one.x_permille},{one.y_permille},{one.position}" for one in spots)


def read_spots(text: str) -> tuple[PhotoSpot, ...]:
    """The spots of an effect. A position's name holds neither blanks nor commas."""
    parts = (one.split(",") for one in text.split())
    return tuple(
        PhotoSpot(x_permille=int(x), y_permille=int(y), position=position)
        for x, y, position in parts
    )


def spotted_photos(state: JobState) -> Mapping[str, SpottedPhoto]:
    """What was told last on each photo, by its hash; what was undone is not in the state."""
    return {
        said.photo: SpottedPhoto(
            photo=said.photo, step=said.step, spots=read_spots(said.spots), told=happened
        )
        for happened, said in state.each(SpotsTapped)
    }
