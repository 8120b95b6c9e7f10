"""Torque in every unit, doubts about a stated one, and what a wrench extension does to the reading.

The maker's value governs, always. Nothing here invents a torque: a doubt only says that a stated
value and the stated bolt hardly belong together, and names no other.
"""

import re
from decimal import ROUND_HALF_UP, Context, Decimal
from enum import StrEnum
from math import cos, radians
from typing import Final

from partsvc.domain.threads import Thread, strength


class TorqueUnit(StrEnum):
    """The units in which makers' documents and tools give torque."""

    NEWTON_METRE = "N·m"
    POUND_FOOT = "lbf·ft"
    POUND_INCH = "lbf·in"
    KILOGRAM_METRE = "kgf·m"


class UnreadableTorque(ValueError):
    """What was typed is not a torque reading."""


# Exact by definition: lbf = 4.4482216152605 N, ft = 0.3048 m, in = 0.0254 m, kgf = 9.80665 N.
_NEWTON_METRES: Final = {
    TorqueUnit.NEWTON_METRE: Decimal(1),
    TorqueUnit.POUND_FOOT: Decimal("1.3558179483314004"),
    TorqueUnit.POUND_INCH: Decimal("0.1129848290276167"),
    TorqueUnit.KILOGRAM_METRE: Decimal("9.80665"),
}
_EXACT: Final = Context(prec=50)
_SHOWN: Final = Context(prec=9)
_READING: Final = re.compile(r"[0-9]{1,6}(?:[.,][0-9]{1,6})?")
_HUNDREDTH: Final = Decimal("0.01")

#: The nut factor of a dry thread; with it T = K · F · d repeats the published pairs within 1 %.
DRY_NUT_FACTOR: Final = 0.20
#: Judged by us: under a twentieth of what the proof load would need, a bolt hardly clamps.
_HARDLY_CLAMPS: Final = 0.05


def newton_metres(reading: str, unit: TorqueUnit) -> Decimal:
    """A reading as typed (point or comma) in N·m, exactly. UnreadableTorque for any other text."""
    typed = reading.strip()
    if not _READING.fullmatch(typed):
        raise UnreadableTorque(f"{reading!r} is not a torque; type it like 24 or 24.5")
    return _EXACT.multiply(Decimal(typed.replace(",", ".")), _NEWTON_METRES[unit])


def in_unit(torque_nm: Decimal, unit: TorqueUnit) -> Decimal:
    """The same torque in another unit, to nine figures: far finer than any tool."""
    return _SHOWN.divide(torque_nm, _NEWTON_METRES[unit])


def doubtful(thread: Thread, property_class: str, torque_nm: Decimal) -> str | None:
    """Why a stated torque hardly belongs to this bolt, or None; a question and no verdict.

    The yardstick is the torque at which a dry bolt reaches its proof load (ISO 898-1): more than
    that, or less than a twentieth of it, is doubted. None for a class not known. The sentence
    never says which torque to use.
    """
    strengths = strength(property_class, thread)
    if strengths is None:
        return None
    proof_nm = torque_under_load_nm(strengths.proof_load_n(thread), thread, DRY_NUT_FACTOR)
    share = float(torque_nm) / proof_nm
    bolt = f"for {thread} of class {property_class}"
    if share > 1:
        return f"{torque_nm} N·m is very much {bolt}: {_OVERLOADED} {_COMPARE}"
    if share < _HARDLY_CLAMPS:
        return f"{torque_nm} N·m is very little {bolt}: it would hardly clamp. {_COMPARE}"
    return None


_OVERLOADED: Final = "at usual friction the bolt would be pulled beyond its proof load."
_COMPARE: Final = (
    "Compare thread, class and unit with the maker's document; the maker's value governs."
)


def torque_under_load_nm(load_n: float, thread: Thread, nut_factor: float) -> float:
    """The torque that goes with a bolt load, T = K · F · d: a yardstick, never a value to show.

    K (the nut factor) stands for all friction, which nobody knows well.
    """
    return nut_factor * load_n * thread.diameter_mm / 1000


def set_value(
    torque_nm: Decimal, *, lever_mm: float, extension_mm: float, angle_deg: float = 0
) -> Decimal:
    """What to read on the wrench, N·m, when an extension carries the maker's torque to the bolt.

    `lever_mm` from grip to square drive, `extension_mm` from there to the bolt, `angle_deg`
    between both: 0 in line, 90 no correction, 180 pointing back. An extension bar along the
    bolt's axis needs none. T · L / (L + E · cos angle), rounded to 0.01 N·m. ValueError for a
    lever of no length or an extension that leaves no arm.
    """
    arm_mm = lever_mm + extension_mm * cos(radians(angle_deg))
    if lever_mm <= 0 or extension_mm < 0 or arm_mm <= 0:
        raise ValueError("lever and extension leave no arm to turn with")
    exact = _EXACT.multiply(torque_nm, Decimal(lever_mm / arm_mm))
    return exact.quantize(_HUNDREDTH, rounding=ROUND_HALF_UP)
