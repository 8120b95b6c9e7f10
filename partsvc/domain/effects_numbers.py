"""What acts say of part numbers: which others are taken at a position of this vehicle, or not."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberAccepted:
    """Another number may stand at a position where `part` is planned; `source` says who says so.

    `before` is the number of the job of this vehicle on which it was accepted first.
    """

    position: str
    part: str
    number: str
    source: str
    before: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberRefused:
    """A number is not taken at a position of this vehicle, whatever the catalogue says."""

    position: str
    part: str
    number: str
    source: str
    before: int | None = None
