"""How often pieces were used, as one job hands it to the next on the same vehicle."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class UsesKnown:
    """At the release so many pieces of a position had so many uses behind them.

    `uses` counts the tightening they stand under now; it is None where nobody knows.
    """

    position: str
    part: str
    quantity: int
    uses: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class UsesCarried:
    """At the opening: so many pieces of a position came with so many uses, by an earlier job."""

    position: str
    part: str
    quantity: int
    uses: int
    job: str
