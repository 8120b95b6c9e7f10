"""Order lines: what was asked for and ordered for a job, and what became of it.

A line is kept beside the ledger, for what is on its way is in nobody's place yet. Nothing on it is
ever changed: people note what happened, each by name and time, and the line's state is the fold of
what they noted. What has come is the truth whatever was said before, so a delivery is always noted;
where it does not fit, the line carries a mark.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from decimal import Decimal
from enum import StrEnum

NOTHING = Decimal(0)


class LineKind(StrEnum):
    """Parts are counted and booked; sealant, threadlock and fluids are only ordered and ticked."""

    PART = "part"
    CONSUMABLE = "consumable"


class LineState(StrEnum):
    """Where an order line stands."""

    ASKED = "asked"
    ORDERED = "ordered"
    PART_DELIVERED = "part-delivered"
    BACK_ORDERED = "back-ordered"
    REFUSED = "refused"
    DELIVERED = "delivered"
    CANCELLED = "cancelled"


class Noted(StrEnum):
    """What can be noted on an order line."""

    ASKED = "asked"
    ORDERED = "ordered"
    AMENDED = "amended"
    DELIVERED = "delivered"
    TAKEN_BACK = "taken-back"
    WRONG_PART = "wrong-part"
    BACK_ORDERED = "back-ordered"
    REFUSED = "refused"
    CANCELLED = "cancelled"


@dataclass(frozen=True, slots=True, kw_only=True)
class LineEvent:
    """One thing noted on a line: what, by whom, when, how much, and the act it came with.

    `came` is what came instead of what was ordered, and `accepted` that it is taken as such.
    """

    n: int
    event: Noted
    by: str
    at: str
    amount: Decimal = NOTHING
    reference: str = ""
    promised: str = ""
    came: str = ""
    accepted: bool = False
    words: str = ""
    act: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LineFacts:
    """What an order line is for; `what` is a part's number, or a consumable in words."""

    id: str
    job: str
    kind: LineKind
    what: str
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LineNow:
    """How far a line is: what was ordered in all, what has come, and how the rest stands."""

    asked: Decimal = NOTHING
    delivered: Decimal = NOTHING
    rest: LineState = LineState.ASKED
    reference: str = ""
    promised: str = ""
    words: str = ""
    came_after: LineState | None = None
    wrong: tuple[LineEvent, ...] = field(default=())

    @property
    def state(self) -> LineState:
        """Where the line stands."""
        if self.delivered and self.delivered >= self.asked:
            return LineState.DELIVERED
        if self.delivered and self.rest in (LineState.ASKED, LineState.ORDERED):
            return LineState.PART_DELIVERED
        return self.rest

    @property
    def outstanding(self) -> Decimal:
        """How much is still to come; nothing of what was refused or cancelled."""
        if self.rest in (LineState.REFUSED, LineState.CANCELLED):
            return NOTHING
        return max(NOTHING, self.asked - self.delivered)

    @property
    def over(self) -> Decimal:
        """How much more came than was ordered."""
        return max(NOTHING, self.delivered - self.asked)

    @property
    def marks(self) -> tuple[str, ...]:
        """What does not fit on this line, for the parts desk to see to."""
        found = [f"{plain(self.over)} more came than were ordered"] if self.over else []
        if self.came_after is not None:
            found.append(f"it came although the line was {self.came_after.value}")
        found += map(_wrong_words, self.wrong)
        return tuple(found)


def _wrong_words(event: LineEvent) -> str:
    taken = "taken as another number" if event.accepted else "goes back"
    return f"wrong part came: {plain(event.amount)} {event.came}, {taken}"


def plain(amount: Decimal) -> str:
    """An amount as people write it: no exponent, no zeros behind."""
    text = f"{amount:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def fold(events: Iterable[LineEvent]) -> LineNow:
    """Where a line stands after all that was noted on it, in its order."""
    now = LineNow()
    for event in events:
        now = _after(now, event)
    return now


def _after(now: LineNow, event: LineEvent) -> LineNow:
    match event.event:
        case Noted.ASKED | Noted.AMENDED:
            return replace(now, asked=event.amount, words=event.words or now.words)
        case Noted.ORDERED:
            return replace(_standing(now, event), asked=event.amount or now.asked)
        case Noted.DELIVERED:
            return _come(now, event)
        case Noted.TAKEN_BACK:
            return replace(now, delivered=max(NOTHING, now.delivered - event.amount))
        case Noted.WRONG_PART:
            now = replace(now, wrong=(*now.wrong, event))
            return _come(now, event) if event.accepted else now
        case Noted.BACK_ORDERED | Noted.REFUSED | Noted.CANCELLED:
            # What was promised before no longer is, unless there is a new promise.
            return _standing(replace(now, promised=""), event)


def _standing(now: LineNow, event: LineEvent) -> LineNow:
    return replace(
        now,
        rest=LineState(event.event.value),
        reference=event.reference or now.reference,
        promised=event.promised or now.promised,
        words=event.words or now.words,
    )


def _come(now: LineNow, event: LineEvent) -> LineNow:
    closed = now.rest in (LineState.REFUSED, LineState.CANCELLED)
    return replace(
        now,
        delivered=now.delivered + event.amount,
        came_after=now.rest if closed else now.came_after,
        rest=now.rest if closed else LineState.ORDERED,
        # The delivery note stands in the history; what is still to come is of the same order.
        reference=now.reference or event.reference,
    )


def why_not(now: LineNow, event: Noted) -> str:
    """Why something cannot be noted now, with what to do instead; empty when it can.

    Only what would deny what has happened: a delivery and a wrong part can always be noted.
    """
    if event in (Noted.DELIVERED, Noted.WRONG_PART, Noted.TAKEN_BACK, Noted.AMENDED):
        return ""
    if now.state is LineState.DELIVERED:
        return (
            "All of it has come already. Ask for more on a line of its own; what came and is not "
            "wanted is returned."
        )
    if event is Noted.CANCELLED and now.rest is LineState.CANCELLED:
        return "It is cancelled already."
    return ""


_STATE_WORDS = {
    LineState.ASKED: "asked for, not ordered yet",
    LineState.ORDERED: "ordered",
    LineState.PART_DELIVERED: "part-delivered",
    LineState.BACK_ORDERED: "back-ordered",
    LineState.REFUSED: "refused by the supplier",
    LineState.DELIVERED: "delivered",
    LineState.CANCELLED: "cancelled",
}


def state_words(now: LineNow) -> str:
    """Where a line stands, in one line of words."""
    words = _STATE_WORDS[now.state]
    if now.delivered and now.state is not LineState.DELIVERED:
        words += f" ({plain(now.delivered)} of {plain(now.asked)})"
    if now.promised and now.outstanding:
        words += f", promised for {now.promised}"
    if now.state is LineState.BACK_ORDERED and not now.promised:
        words += ", no date"
    if now.words and now.state in (LineState.REFUSED, LineState.BACK_ORDERED, LineState.CANCELLED):
        words += f": {now.words}"
    return words
