"""Metric threads and the loads their bolts are made for: the yardstick for plausibility.

Geometry of the basic profile after ISO 68-1 / ISO 261, limits after ISO 965-1 (tolerance 6g),
strengths after ISO 898-1:2013 table 3. No standard was at hand; tests/published names the pages
the figures were compared with. The formulas are recalled and confirmed by those tables.
"""

import re
from dataclasses import dataclass
from math import pi, sqrt
from typing import Final


class UnknownThread(ValueError):
    """This is not written like a metric thread (M8, M8x1), or its size is not known here."""


@dataclass(frozen=True, slots=True)
class Thread:
    """A metric thread by nominal diameter and pitch."""

    diameter_mm: float
    pitch_mm: float

    def __str__(self) -> str:
        """As in the trade: the pitch is only written when it is not the coarse one."""
        size = f"M{self.diameter_mm:g}"
        return size if self.is_coarse else f"{size}x{self.pitch_mm:g}"

    @property
    def is_coarse(self) -> bool:
        return COARSE_PITCHES_MM.get(self.diameter_mm) == self.pitch_mm

    @property
    def pitch_diameter_mm(self) -> float:
        return self.diameter_mm - 0.64952 * self.pitch_mm

    @property
    def root_diameter_mm(self) -> float:
        return self.diameter_mm - 1.22687 * self.pitch_mm

    @property
    def stress_area_mm2(self) -> float:
        """The area the strengths refer to (ISO 898-1:2013, 9.1.6.1)."""
        return pi / 4 * ((self.pitch_diameter_mm + self.root_diameter_mm) / 2) ** 2

    @property
    def outside_limits_mm(self) -> tuple[float, float]:
        """What a caliper may read on a good thread, least and most: always under the nominal."""
        deviation_um = 15 + 11 * self.pitch_mm
        tolerance_um = 180 * self.pitch_mm ** (2 / 3) - 3.15 / sqrt(self.pitch_mm)
        most = self.diameter_mm - deviation_um / 1000
        return most - tolerance_um / 1000, most


@dataclass(frozen=True, slots=True)
class Strength:
    """The least strengths of a property class, MPa."""

    tensile_mpa: int
    proof_mpa: int
    yield_mpa: int

    def proof_load_n(self, thread: Thread) -> float:
        """The pull a bolt must bear without staying longer."""
        return self.proof_mpa * thread.stress_area_mm2

    def tensile_load_n(self, thread: Thread) -> float:
        """The pull a bolt must bear without breaking."""
        return self.tensile_mpa * thread.stress_area_mm2


#: ISO 261 / ISO 262.
COARSE_PITCHES_MM: Final[dict[float, float]] = {
    3: 0.5,
    3.5: 0.6,
    4: 0.7,
    5: 0.8,
    6: 1,
    7: 1,
    8: 1.25,
    10: 1.5,
    12: 1.75,
    14: 2,
    16: 2,
    18: 2.5,
    20: 2.5,
    22: 2.5,
    24: 3,
}
FINE_PITCHES_MM: Final[dict[float, tuple[float, ...]]] = {
    8: (1,),
    10: (1.25, 1),
    12: (1.5, 1.25),
    14: (1.5,),
    16: (1.5,),
    18: (2, 1.5),
    20: (2, 1.5),
    22: (2, 1.5),
    24: (2,),
}

#: The class 8.8 is made stronger above this diameter, and 9.8 is not made above it.
_SPLIT_MM: Final = 16
_STRENGTHS: Final = {
    "4.6": Strength(400, 225, 240),
    "5.8": Strength(520, 380, 420),
    "8.8": Strength(800, 580, 640),
    "9.8": Strength(900, 650, 720),
    "10.9": Strength(1040, 830, 940),
    "12.9": Strength(1220, 970, 1100),
}
_STRENGTH_8_8_LARGE: Final = Strength(830, 600, 660)

PROPERTY_CLASSES: Final = tuple(_STRENGTHS)

_DESIGNATION: Final = re.compile(
    r"M\s*(\d+(?:[.,]\d+)?)(?:\s*[x×*]\s*(\d+(?:[.,]\d+)?))?", re.I | re.A
)


def read_thread(designation: str) -> Thread:
    """The thread written as M8 (coarse) or M8x1 (with its pitch). UnknownThread for any other."""
    found = _DESIGNATION.fullmatch(designation.strip())
    if not found:
        raise UnknownThread(f"{designation!r} is not a metric thread; write M8 or M8x1")
    diameter_mm = float(found[1].replace(",", "."))
    coarse_mm = COARSE_PITCHES_MM.get(diameter_mm)
    if coarse_mm is None:
        raise UnknownThread(f"M{diameter_mm:g} is not among the sizes M3 to M24 known here")
    pitch_mm = float(found[2].replace(",", ".")) if found[2] else coarse_mm
    if pitch_mm not in (coarse_mm, *FINE_PITCHES_MM.get(diameter_mm, ())):
        raise UnknownThread(f"M{diameter_mm:g} is not made with a pitch of {pitch_mm:g} mm")
    return Thread(diameter_mm, pitch_mm)


def strength(property_class: str, thread: Thread) -> Strength | None:
    """The strengths of a property class in this size; None for a class not known or not made."""
    large = thread.diameter_mm > _SPLIT_MM
    if large and property_class == "8.8":
        return _STRENGTH_8_8_LARGE
    if large and property_class == "9.8":
        return None
    return _STRENGTHS.get(property_class)
