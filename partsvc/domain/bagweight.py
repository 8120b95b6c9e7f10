"""How many pieces are in a bag, by its weight, and when the scale cannot tell.

A weighed sample of the very pieces gives the mass of one: masses of handbooks are off by up to a
fifth. Pieces differ a little from one another, so that a large bag can no longer be counted
surely; then no number is given at all, and somebody counts by hand.
"""

from dataclasses import dataclass
from math import floor, sqrt
from typing import Final

#: How much single pieces differ (standard deviation over mean): machined and cold-formed
#: fasteners 1 %, moulded clips and cut seals 3 %. Judgement of common practice, ours.
FASTENER_VARIATION: Final = 0.01
MOULDED_VARIATION: Final = 0.03

#: Rounding to whole pieces is right in 95 of 100 cases: 1.96 standard deviations within half one.
_DEVIATIONS: Final = 1.96
_HALF_A_PIECE: Final = 0.5
#: Further than this from a whole number something else lies in the bag, or is missing from it.
_FROM_WHOLE: Final = 0.25


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """Pieces counted by hand and weighed together; all masses in g.

    `variation` is how much single pieces differ, `readability_g` the step of the scale.
    """

    pieces: int
    mass_g: float
    variation: float = FASTENER_VARIATION
    readability_g: float = 0

    def __post_init__(self) -> None:
        if self.pieces < 1 or self.mass_g <= 0:
            raise ValueError("a sample is at least one piece that weighs something")
        if self.variation <= 0 or self.readability_g < 0:
            raise ValueError("pieces always differ a little, and the scale has a step")

    @property
    def piece_g(self) -> float:
        return self.mass_g / self.pieces

    def spread(self, pieces: float) -> float:
        """The standard deviation, in pieces, of a count of so many by weight."""
        own, mean, scale = self._variances()
        return sqrt(own * pieces + mean * pieces**2 + scale)

    def limit(self) -> int:
        """The most pieces that can be counted surely with this sample; 0 if none at all."""
        own, mean, scale = self._variances()
        room = (_HALF_A_PIECE / _DEVIATIONS) ** 2 - scale
        if room < 0:
            return 0
        return floor((sqrt(own**2 + 4 * mean * room) - own) / (2 * mean))

    def _variances(self) -> tuple[float, float, float]:
        """What grows with the number, with its square, and not at all.

        A reading is off by up to half a step either way (variance step²/12); gross, tare and the
        sample are read once each.
        """
        step = self.readability_g**2 / 12 / self.piece_g**2
        own = self.variation**2
        return own, own / self.pieces + step / self.pieces**2, 2 * step


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighedCount:
    """What the scale says: a number only when it is certain, and in any case a sentence."""

    pieces: int | None
    estimate: float
    spread: float
    limit: int
    words: str


def count_by_weight(gross_g: float, tare_g: float, *, sample: Sample) -> WeighedCount:
    """The number of pieces in a bag of this mass, bag itself `tare_g`; no number if not certain.

    Refused, by a result without pieces: a bag lighter than its tare, a mass that is no whole
    number of pieces, and more pieces than the sample can vouch for.
    """
    estimate = (gross_g - tare_g) / sample.piece_g
    nearest, limit = round(estimate), sample.limit()
    refusal = _refusal(estimate, nearest, limit)
    return WeighedCount(
        pieces=None if refusal else nearest,
        estimate=estimate,
        spread=sample.spread(max(estimate, 0)),
        limit=limit,
        words=f"{refusal} Count by hand." if refusal else _number(nearest),
    )


def _refusal(estimate: float, nearest: int, limit: int) -> str:
    if estimate < -_FROM_WHOLE:
        return "The bag weighs less than its tare."
    if nearest > limit == 0:
        return "These pieces are too light or too uneven for this scale and sample."
    if nearest > limit:
        return f"With this sample the scale can tell {limit} pieces at most."
    if abs(estimate - nearest) > _FROM_WHOLE:
        return f"The mass is that of {estimate:.2f} pieces, which is no whole number."
    return ""


def _number(pieces: int) -> str:
    return "1 piece by weight." if pieces == 1 else f"{pieces} pieces by weight."
