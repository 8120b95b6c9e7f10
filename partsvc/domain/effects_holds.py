"""What acts say of holds after they were passed: that they no longer stand, and why."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldLapsed:
    """A hold that was passed stands no longer; `step` is the one whose work made it lapse."""

    hold: str
    reason: str
    step: str = ""
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldUndone:
    """The passing of a hold, recorded as act `since`, was taken back."""

    hold: str
    since: int
