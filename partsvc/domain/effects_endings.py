"""How a job ends that is not released, and how a later one takes over what is left of it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class HandedOver:
    """The job ended with findings open; `head` is the chain's head that was handed over."""

    why: str
    to: str
    head: str
    open: int
    plan_hash: str = ""
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobHandedOver:
    """Noted in the workshop's own account: this job ended incomplete, at this head."""

    job: str
    act: str
    head: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenOver:
    """All that was left of this job went over to a later one, which it names."""

    job: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TookOver:
    """This job began with all that was left of an earlier one, which it names."""

    job: str
    number: int
