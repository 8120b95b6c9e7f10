"""What breaking leaves behind: the rest of a piece, until it is taken out."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class RestLeft:
    """So many pieces broke and the rest of each is still in the vehicle, or nobody knows where.

    `position` is where they broke; `bag` instead, when they broke in a bag.
    """

    part: str
    lot: str
    quantity: int
    lost: bool
    position: str = ""
    bag: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RestFound:
    """The rest of so many broken pieces was taken out; `broke` is the act in which they broke."""

    broke: str
    part: str
    quantity: int
    lost: bool
    words: str = ""
