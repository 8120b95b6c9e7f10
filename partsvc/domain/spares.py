"""How many spare parts to order beside those needed for certain, and the reason in words.

Every part of a kind breaks with a rate that is only known as far as such parts were seen before.
What is seen in this workshop is added to a prior for the kind, and the number that breaks among
the next n is beta-binomial: little knowledge orders a few more, much knowledge no more than needed.
"""

from dataclasses import dataclass
from fractions import Fraction
from math import lcm
from typing import Final


@dataclass(frozen=True, slots=True)
class Beta:
    """What is known of a breakage rate: as if `alpha` had broken and `beta` had stayed whole."""

    alpha: Fraction
    beta: Fraction

    def __post_init__(self) -> None:
        if self.alpha < 0 or self.beta < 0 or not self.alpha + self.beta:
            raise ValueError("alpha and beta are not negative and not both zero")

    def seen(self, broken: int, total: int) -> "Beta":
        """The same knowledge after so many more were seen, of which some broke."""
        if not 0 <= broken <= total:
            raise ValueError("of the parts seen none to all may have broken")
        return Beta(self.alpha + broken, self.beta + total - broken)

    @property
    def mean(self) -> Fraction:
        return self.alpha / (self.alpha + self.beta)


@dataclass(frozen=True, slots=True)
class Breakage:
    """The rate at which parts of one kind break in use and removal, before any were seen here."""

    kind: str
    plural: str
    prior: Beta


def _worth(percent: str, pieces: int) -> Beta:
    """A prior with this mean, as good as having seen so many pieces."""
    rate = Fraction(percent) / 100
    return Beta(rate * pieces, (1 - rate) * pieces)


#: Our own judgement of common practice, no published figures: each is worth only 20 to 40 pieces
#: seen, so that what the workshop sees soon outweighs it. Never flat: knowing nothing at all
#: (alpha = beta = 1) would order 38 spares for 40 clips.
PRIORS: Final = (
    Breakage("clip", "clips", _worth("7.5", 20)),
    Breakage("seal", "seals", _worth("5", 20)),
    Breakage("clamp", "clamps", _worth("3", 20)),
    Breakage("tie", "ties", _worth("5", 20)),
    Breakage("hose", "hoses", _worth("2", 25)),
    Breakage("bracket", "brackets", _worth("1", 25)),
    Breakage("cover", "covers", _worth("2", 25)),
    Breakage("connector", "connectors", _worth("1", 30)),
    Breakage("screw", "screws", _worth("1", 40)),
    Breakage("bolt", "bolts", _worth("0.5", 40)),
    Breakage("stud", "studs", _worth("1", 40)),
    Breakage("nut", "nuts", _worth("0.5", 40)),
    Breakage("washer", "washers", _worth("0.5", 40)),
)
OTHER: Final = Breakage("part", "parts", _worth("2", 20))

#: In 19 of 20 jobs the spares suffice.
USUAL_LEVEL: Final = Fraction(19, 20)


def breakage(kind: str) -> Breakage:
    """The prior for a kind of part; for a kind not listed that of parts in general."""
    return next((known for known in PRIORS if known.kind == kind), OTHER)


def spares(
    n: int,
    *,
    seen_broken: int,
    seen_total: int,
    prior: Beta,
    level: Fraction = USUAL_LEVEL,
) -> int:
    """The smallest number that covers what breaks among n pieces, at least at this level.

    `level` is the share of jobs in which it has to suffice, 0 to 1. Exact: no rounding takes
    part. ValueError for a negative n, a level outside its range or more broken than seen.
    """
    if n < 0:
        raise ValueError("the number of pieces is not negative")
    if not 0 <= level <= 1:
        raise ValueError("the level lies between 0 and 1")
    weights = _weights(n, prior.seen(seen_broken, seen_total))
    wanted, reached = level * sum(weights), 0
    for broken, weight in enumerate(weights):
        reached += weight
        if reached >= wanted:
            return broken
    raise AssertionError("all weights together reach every level")


def why(needed: int, spare: int, *, kind: str, seen_broken: int, seen_total: int) -> str:
    """The order in words: "2 needed + 3 spare: of 48 clips like these 5 broke"."""
    amounts = f"{needed} needed + {spare} spare" if spare else f"{needed} needed, no spare"
    return f"{amounts}: {_grounds(breakage(kind), seen_broken, seen_total)}"


def _grounds(known: Breakage, broken: int, total: int) -> str:
    if total:
        name = known.kind if total == 1 else known.plural
        return (
            f"of {total} {name} like {'this' if total == 1 else 'these'} {broken or 'none'} broke"
        )
    return f"no {known.plural} like these were seen yet, so this rests on a general judgement"


def _weights(n: int, rate: Beta) -> list[int]:
    """Whole numbers in the proportion of the chances that 0, 1 … n of n pieces break.

    The chance of k is C(n, k) · a(a+1)…(a+k-1) · b(b+1)…(b+n-k-1) up to a common factor; both
    rising products are scaled by the common denominator of a and b.
    """
    unit = lcm(rate.alpha.denominator, rate.beta.denominator)
    a, b = int(rate.alpha * unit), int(rate.beta * unit)
    broken, whole = _rising(a, unit, n), _rising(b, unit, n)
    ways, weights = 1, []
    for k in range(n + 1):
        weights.append(ways * broken[k] * whole[n - k])
        ways = ways * (n - k) // (k + 1)
    return weights


def _rising(start: int, unit: int, n: int) -> list[int]:
    """The products of the first 0, 1 … n of start, start + unit, start + 2 units …"""
    products = [1]
    for k in range(n):
        products.append(products[-1] * (start + k * unit))
    return products
