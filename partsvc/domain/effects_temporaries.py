"""What is known of a temporary item beyond its count: what it is for, and how it looks."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class PutOnVehicle:
    """An item that no plan lists went on: in words, by photo, or as a piece out of a bag."""

    step: str
    part: str
    lot: str
    words: str = ""
    photos: str = ""
    bag: str = ""
