"""Lengths and torques in the units a person reads, the given ones always first.

A torque stands as its named source states it; the other unit beside it is the same torque, for a
wrench with that scale. 1 in = 25.4 mm exactly (NIST Special Publication 811, 2008, appendix B.8).
"""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal
from enum import StrEnum

from partsvc.domain.tightening import TorqueUnit, in_unit

MM_PER_INCH = Decimal("25.4")


class Units(StrEnum):
    """Which units a person reads."""

    METRIC = "metric"
    BOTH = "both"


def torque_words(torque_nm: str, units: Units = Units.METRIC) -> str:
    """A torque in N·m as given, and in lbf·ft beside it where somebody reads those."""
    given = f"{torque_nm} N·m"
    if units is Units.METRIC:
        return given
    return f"{given} ({_three_figures(in_unit(Decimal(torque_nm), TorqueUnit.POUND_FOOT))} lbf·ft)"


def length_words(length_mm: int | str, units: Units = Units.METRIC) -> str:
    """A length in mm as given, and in inches beside it where somebody reads those."""
    given = f"{length_mm} mm"
    if units is Units.METRIC:
        return given
    inches = (Decimal(length_mm) / MM_PER_INCH).quantize(Decimal("0.001"), ROUND_HALF_EVEN)
    return f"{given} ({inches} in)"


def _three_figures(value: Decimal) -> str:
    """Rounded to three figures, and to no more than two places."""
    places = 0 if value >= 100 else 1 if value >= 10 else 2
    return str(value.quantize(Decimal(1).scaleb(-places), ROUND_HALF_EVEN))
