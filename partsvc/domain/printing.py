"""What is to be done next with something that waits to be printed.

A label printed twice is two bags with one code, and a label not printed is a bag without: so each
step is written down before it is taken, and after a break the printer is asked what it has. Only
where it cannot say does a person look, and decide.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

MOST_TRIES: Final = 20
"""Tries before a job waits for a person; with the pauses below that is about an hour and a half."""

_FIRST_PAUSE_S: Final = 2
_LONGEST_PAUSE_S: Final = 300


class Stage(StrEnum):
    """How far a printing is."""

    WAITING = "waiting"
    BEGUN = "begun"
    NUMBERED = "numbered"
    SENDING = "sending"
    AT_PRINTER = "at-printer"
    PRINTED = "printed"
    FAILED = "failed"
    UNSURE = "unsure"
    CANCELLED = "cancelled"

    @property
    def ended(self) -> bool:
        """Whether nothing happens any more unless a person asks for it."""
        return self in (Stage.PRINTED, Stage.FAILED, Stage.UNSURE, Stage.CANCELLED)


class Next(StrEnum):
    """The one thing to do next."""

    CREATE = "create a job at the printer"
    LOOK_FOR_IT = "ask whether the printer has a job of this name"
    SEND = "send the document"
    ASK_AFTER_IT = "ask how far the printer is"
    NOTHING = "nothing"


_NEXT = {
    Stage.WAITING: Next.CREATE,
    Stage.BEGUN: Next.LOOK_FOR_IT,
    Stage.NUMBERED: Next.SEND,
    Stage.SENDING: Next.ASK_AFTER_IT,
    Stage.AT_PRINTER: Next.ASK_AFTER_IT,
}


class Heard(StrEnum):
    """What the printer said of a job when it was asked."""

    NOT_THERE = "not-there"
    WAITS_FOR_DOCUMENT = "waits-for-document"
    UNDER_WAY = "under-way"
    PRINTED = "printed"
    STOPPED = "stopped"


@dataclass(frozen=True, slots=True)
class Turn:
    """The stage after an answer, and what a person is told."""

    stage: Stage
    words: str = ""


def next_step(stage: Stage) -> Next:
    """What is to be done with a printing at this stage."""
    return _NEXT.get(stage, Next.NOTHING)


def after(stage: Stage, heard: Heard, reasons: str = "") -> Turn:
    """The stage after what the printer said.

    A document that may have gone out and that the printer knows nothing of is never sent again by
    itself: perhaps the label hangs on a bag already.
    """
    match heard:
        case Heard.PRINTED:
            return Turn(Stage.PRINTED)
        case Heard.STOPPED:
            return Turn(
                Stage.FAILED,
                f"The printer ended it: {reasons or 'no reason given'}. See what came out; print "
                "it again if nothing did.",
            )
        case Heard.UNDER_WAY:
            return Turn(Stage.AT_PRINTER, reasons)
        case Heard.WAITS_FOR_DOCUMENT:
            return Turn(Stage.NUMBERED)
        case Heard.NOT_THERE:
            return _not_there(stage)


def _not_there(stage: Stage) -> Turn:
    if stage in (Stage.SENDING, Stage.AT_PRINTER):
        return Turn(
            Stage.UNSURE,
            "The printer was sent this and does not know it any more. Look whether it came out: "
            "say that it is there, or print it again.",
        )
    return Turn(Stage.WAITING)


def pause_s(tries: int) -> int:
    """Seconds before the next try: doubled each time, five minutes at most."""
    doubled: int = _FIRST_PAUSE_S << min(max(tries - 1, 0), 16)
    return min(_LONGEST_PAUSE_S, doubled)
