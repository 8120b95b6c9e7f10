"""What was tapped on a photo: which position is where on it, in the order of tightening."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotsTapped:
    """All that is told on a photo of a step; it takes the place of what was told on it before.

    `spots` are `x,y,position`, in thousandths of the photo's width and height, blanks between them,
    in the order of tightening. Empty: whatever was told on it is taken back.
    """

    photo: str
    step: str
    spots: str = ""
