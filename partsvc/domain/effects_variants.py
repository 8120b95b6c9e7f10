"""What acts say of this one vehicle: what it has not, what it has instead, what was repaired.

Flat records like all effects; `effects` names them among the others.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class NotApplying:
    """A position, or a whole step, that this vehicle does not have; `where` says it in words."""

    step: str
    step_number: int
    where: str
    reason: str
    position: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Differing:
    """What really is at a position of this vehicle, told to parts desk and quality.

    The change of the plan itself stands beside it as a correction.
    """

    position: str
    part: str
    words: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NotDone:
    """A step that was left out, with the reason; others go on with a warning."""

    step: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CountFound:
    """How many sets there were at a position whose count nobody could know before."""

    position: str
    sets: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Repaired:
    """What was repaired at a position; `settles` is the act that remarked the defect."""

    position: str
    words: str
    settles: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ArrivedOff:
    """A position whose pieces were off, or only loose, when the vehicle came."""

    position: str
    how: str
    words: str
