"""What acts do when pieces leave the workshop for a while, or an assembly is exchanged for another.

Where the pieces are is in the book (`away:paint shop`); here stands what the book cannot say: when
they are due back, why they went, and which of them nobody waits for.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class SentAway:
    """So many pieces of a lot went out of the house and are expected back."""

    to: str
    part: str
    lot: str
    quantity: int
    home: str = ""
    note: str = ""
    due: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CameBack:
    """So many pieces of a lot are back from where they had been sent."""

    sender: str
    part: str
    lot: str
    quantity: int
    repaired: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class StaysAway:
    """So many pieces of a lot went for good, with an exchanged assembly; nobody waits for them."""

    to: str
    part: str
    lot: str
    quantity: int
    home: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CarrierExchanged:
    """An assembly was exchanged for another; the new one stands where the old one stood."""

    position: str
    part: str
    to: str
    bag: str
    returns: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CarrierAnswered:
    """What became of the pieces at one position of an assembly that was exchanged."""

    carrier: str
    position: str
    answer: str
