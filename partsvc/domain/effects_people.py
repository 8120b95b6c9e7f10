"""What acts say of the people who did them, and of acts that were refused before."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class DoneAlone:
    """One person did what otherwise takes two; the workshop permitted it, the reason is kept."""

    what: str
    reason: str
    step: str = ""
    position: str = ""
    bag: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Amended:
    """A queued act that was refused, named by its key, is put right by this one."""

    refused: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Dismissed:
    """A queued act that was refused, named by its key, comes to nothing; the reason is kept."""

    refused: str
    reason: str
