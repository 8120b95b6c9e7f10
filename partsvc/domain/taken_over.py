"""What a later job begins with when it takes over one that ended incomplete.

Pieces come in where they lay, under the positions they have; what was said of this vehicle and its
bags goes along. Holds do not: they are passed anew by whoever works now. What was open and cannot
be seen from where the pieces lie goes along in words, so that nothing open is closed by the change.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace

from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.effects import (
    Effect,
    PositionAdded,
    PositionCorrected,
    Remarked,
    StepAdded,
    StepDone,
    Stowed,
    TagUsed,
)
from partsvc.domain.effects_applications import Applied
from partsvc.domain.effects_away import CameBack, SentAway
from partsvc.domain.effects_custody import Locked, Unlocked
from partsvc.domain.effects_endings import TookOver
from partsvc.domain.effects_numbers import NumberAccepted, NumberRefused
from partsvc.domain.effects_supply import BatchIssued
from partsvc.domain.effects_temporaries import PutOnVehicle
from partsvc.domain.effects_uses import UsesCarried
from partsvc.domain.effects_variants import ArrivedOff, CountFound, NotApplying, Repaired
from partsvc.domain.findings import Finding
from partsvc.domain.ledger import Entry
from partsvc.domain.places import Condition, Gate, PlaceKind, outside
from partsvc.domain.plan import Phase
from partsvc.domain.reconciliation import open_findings
from partsvc.domain.use_counts import use_counts

# What was said that the plan, the bags and the places of the new job are told by.
GOES_ALONG = (
    StepAdded, PositionAdded, PositionCorrected, NotApplying, CountFound, NumberAccepted,
    NumberRefused, Repaired, ArrivedOff, TagUsed, Stowed, PutOnVehicle, SentAway, CameBack,
    BatchIssued, Applied, Locked, Unlocked,
)  # fmt: skip
# Findings that the new job sees by itself, from its plan and from where the pieces lie.
SEEN_ANEW = frozenset(
    {
        "wrong-part", "damaged", "loose", "on-vehicle", "hold-open", "not-back", "short", "over",
        "missing-on-arrival", "broken", "own-hole", "stray", "left-over", "issued-not-used",
        "step-not-done", "not-counted", "not-applied", "lost", "away", "with-person",
        "lock-on",
    }
)  # fmt: skip
MOST_WORDS = 2000


def coming_in(left: Iterable[Entry], account: str) -> Iterator[Entry]:
    """The entries that left the old job, let into the new one where the pieces lay."""
    for entry in left:
        home = replace(entry.source, account=account)
        gate = replace(home, place=outside(Gate.OPENING))
        yield Entry(entry.part, entry.quantity, gate, home)


def goes_along(before: Desk, *, number: int) -> tuple[Effect, ...]:
    """What the opening of the new job says beside its pieces; `before` is the job that ended."""
    said = [
        happened.effect
        for happened in before.happened
        if isinstance(happened.effect, GOES_ALONG) or _still_holds(before, happened.effect)
    ]
    return (
        TookOver(job=before.account, number=number),
        *said,
        *_uses(before),
        *_open_in_words(open_findings(before), number),
    )


def _still_holds(before: Desk, effect: Effect) -> bool:
    """What was drained or cleaned stays so; what is filled or checked last is done anew."""
    step = before.plan.step_of.get(effect.step) if isinstance(effect, StepDone) else None
    return step is not None and step.phase is not Phase.REFIT


def _uses(before: Desk) -> Iterator[UsesCarried]:
    """How often pieces of limited use were used: the most of each lot, where all are known.

    Nobody can tell which piece of a lot lay where; a lot with one that nobody knows of is asked
    for again, never begun at 0.
    """
    counts = use_counts(before)
    lots: dict[tuple[str, str], list[int | None]] = defaultdict(list)
    for (part, spot), pieces in counts.at.items():
        if spot.account == before.account and is_left(spot.place.kind):
            new = spot.condition is Condition.NEW
            lots[part, spot.lot] += [None if new else one.times for one in pieces.elements()]
    for (part, lot), times in sorted(lots.items()):
        known = [one for one in times if one is not None]
        if known and len(known) == len(times):
            yield UsesCarried(
                position=lot, part=part, quantity=len(known), uses=max(known), job=before.account
            )


def _open_in_words(found: Iterable[Finding], number: int) -> Iterator[Remarked]:
    at: dict[tuple[str, str], list[str]] = defaultdict(list)
    photos: dict[tuple[str, str], dict[str, None]] = defaultdict(dict)
    unseen = []
    for one in found:
        if one.kind == "bag-not-seen-empty":
            unseen.append(shown_bag(one.bag))
        elif one.kind not in SEEN_ANEW:
            place = (one.position, "" if one.position else one.step)
            at[place].append(one.words)
            photos[place] |= dict.fromkeys(one.photos)
    if unseen:
        at["", ""].append(f"Bags empty by the book that nobody looked into: {', '.join(unseen)}.")
    for (position, step), words in at.items():
        yield Remarked(
            words=f"Open when job {number} ended: {' '.join(words)}"[:MOST_WORDS],
            step=step,
            position=position,
            photos=" ".join(photos[position, step]),
        )


def is_left(kind: PlaceKind) -> bool:
    """Whether pieces in such a place go over to the new job; what was thrown out stays so."""
    return kind not in (PlaceKind.OUTSIDE, PlaceKind.SCRAP)
