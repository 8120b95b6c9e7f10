"""What passes between two books: lent and borrowed, and a piece from the floor between two vans.

Each side is an act of its own in its own account and names the other; neither waits for the other.
What one says and the other does not is a finding in both.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Lent:
    """So many pieces left this book for another one; `other` is that account, `number` its job."""

    other: str
    number: int
    part: str
    quantity: int
    lot: str
    condition: str
    home: str = ""
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Borrowed:
    """So many pieces came into this book from another one; `settled` of them were lost here."""

    other: str
    number: int
    part: str
    quantity: int
    bag: str
    goes_to: str = ""
    settled: int = 0
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StrayFound:
    """What a piece that nobody could place looks like, and where it lay."""

    part: str
    words: str
    looks_like: str = ""
    thread: str = ""
    length_mm: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StrayPlaced:
    """How the question of a stray piece from the bay ended."""

    stray: str
    is_a: str
    part: str = ""
    reason: str = ""
