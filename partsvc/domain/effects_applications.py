"""Sealant, threadlock and fluids applied: ticks, never pieces."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Applied:
    """One application of a step was carried out, so much of it, from a batch if that was said."""

    step: str
    what: str
    amount: str = ""
    unit: str = ""
    batch: str = ""
