"""What is not in order on a job: findings, as data.

A finding is never stored; it is read off the plan, the book and what people saw, each time anew.
`CHECKS` in `reconciliation` is the tuple of functions that look for them.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Gravity(StrEnum):
    """How bad it is if nobody does anything; our own judgement, common in the trade."""

    HIGH = "high"
    MEDIUM = "medium"
    LOW = "low"


class LineOf(StrEnum):
    """Which of the two lines of the reconciliation a finding belongs to."""

    BOOK = "book"
    SEEN = "seen"


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingKind:
    """One kind of finding: its stable name, what it is called, and how grave it is."""

    name: str
    title: str
    gravity: Gravity
    line: LineOf = LineOf.BOOK


KINDS = (
    FindingKind(name="wrong-part", title="wrong part in position", gravity=Gravity.HIGH),
    FindingKind(name="unreplaced", title="single-use piece put back", gravity=Gravity.HIGH),
    FindingKind(name="damaged", title="damaged piece in position", gravity=Gravity.HIGH),
    FindingKind(name="loose", title="in position, not secured", gravity=Gravity.HIGH),
    FindingKind(name="on-vehicle", title="temporary item on the vehicle", gravity=Gravity.HIGH),
    FindingKind(name="with-person", title="still with a person", gravity=Gravity.HIGH),
    FindingKind(name="lock-on", title="lock still on", gravity=Gravity.HIGH),
    FindingKind(name="lock-removed", title="lock removed by another", gravity=Gravity.HIGH),
    FindingKind(name="looked-wrong", title="second look found it wrong", gravity=Gravity.HIGH),
    FindingKind(name="lost", title="lost", gravity=Gravity.HIGH),
    FindingKind(name="fragment", title="rest of a broken piece", gravity=Gravity.HIGH),
    FindingKind(name="fragment-lost", title="rest of a broken piece lost", gravity=Gravity.HIGH),
    FindingKind(name="away", title="away, expected back", gravity=Gravity.HIGH),
    FindingKind(name="lent", title="lent to another job, and short here", gravity=Gravity.HIGH),
    FindingKind(name="between-jobs", title="told by one of two jobs only", gravity=Gravity.MEDIUM),
    FindingKind(name="hold-open", title="hold point open", gravity=Gravity.HIGH),
    FindingKind(name="not-back", title="not back yet", gravity=Gravity.HIGH),
    FindingKind(name="missing-on-arrival", title="missing on arrival", gravity=Gravity.MEDIUM),
    FindingKind(name="broken", title="broke, nothing put in its place", gravity=Gravity.MEDIUM),
    FindingKind(name="short", title="short", gravity=Gravity.HIGH),
    FindingKind(name="over", title="one too many", gravity=Gravity.MEDIUM),
    FindingKind(name="own-hole", title="finger-tight in its own hole", gravity=Gravity.HIGH),
    FindingKind(name="stray", title="stray piece", gravity=Gravity.HIGH),
    FindingKind(name="left-over", title="left over in a bag", gravity=Gravity.MEDIUM),
    FindingKind(name="issued-not-used", title="issued and not used", gravity=Gravity.LOW),
    FindingKind(name="count-differs", title="count differs from the book", gravity=Gravity.MEDIUM),
    FindingKind(name="tag-doubt", title="not sure which bag it is", gravity=Gravity.HIGH),
    FindingKind(name="step-not-done", title="step not done", gravity=Gravity.MEDIUM),
    FindingKind(name="differs", title="this vehicle differs", gravity=Gravity.MEDIUM),
    FindingKind(name="not-counted", title="count not said yet", gravity=Gravity.MEDIUM),
    FindingKind(name="not-applied", title="not ticked as applied", gravity=Gravity.MEDIUM),
    FindingKind(name="remark", title="remark", gravity=Gravity.MEDIUM),
    FindingKind(name="done-anyway", title="refused, and done anyway", gravity=Gravity.MEDIUM),
    FindingKind(
        name="hold-passed-by",
        title="went past a high-voltage safeguard: job stopped",
        gravity=Gravity.HIGH,
    ),
    FindingKind(name="refused-act", title="queued act refused", gravity=Gravity.HIGH),
    FindingKind(
        name="second-look",
        title="second look not taken",
        gravity=Gravity.HIGH,
        line=LineOf.SEEN,
    ),
    FindingKind(
        name="bag-not-seen-empty",
        title="bag not seen empty",
        gravity=Gravity.LOW,
        line=LineOf.SEEN,
    ),
)
KIND_OF = {kind.name: kind for kind in KINDS}


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing not in order: what kind, where, how many, and a sentence a person can act on."""

    kind: str
    place: str
    words: str
    quantity: int = 1
    step: str = ""
    step_number: int = 0
    position: str = ""
    bag: str = ""
    part: str = ""
    lot: str = ""
    photos: tuple[str, ...] = ()

    @property
    def gravity(self) -> Gravity:
        """How bad it is."""
        return KIND_OF[self.kind].gravity

    @property
    def line(self) -> LineOf:
        """Which of the two lines it belongs to."""
        return KIND_OF[self.kind].line

    @property
    def identity(self) -> tuple[str, str, str, str]:
        """What an acceptance names."""
        return (self.kind, self.place, self.part, self.lot)
