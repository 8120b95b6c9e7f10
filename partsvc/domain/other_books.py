"""What is known of the books of other jobs: whose they are, and what they say of this one."""

from __future__ import annotations

from dataclasses import dataclass

from partsvc.domain.effects_between import Borrowed, Lent


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherJob:
    """Another job, as its number names it; the workshop's own account has the number 0."""

    account: str
    number: int
    state: str = "open"


@dataclass(frozen=True, slots=True, kw_only=True)
class SaidElsewhere:
    """That pieces passed between that book and this one, as that one tells it."""

    account: str
    number: int
    by: str
    at: str
    effect: Lent | Borrowed


def book_words(number: int) -> str:
    """Whose book it is, for a sentence."""
    return f"job {number}" if number else "the workshop"
