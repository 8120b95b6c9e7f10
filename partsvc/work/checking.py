"""A job as its checker meets it: the account, and for each finding what is needed to decide on it.

Where it is, whose hands were on it last and when, what most likely happened, its photos, and what
can be done about it there and then. All of it is read at one moment.
"""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from zlib import crc32

from partsvc.domain.desk import Desk
from partsvc.domain.finding_deeds import Deed, deeds
from partsvc.domain.finding_hands import LastHand, last_hands
from partsvc.domain.findings import Finding, Gravity
from partsvc.domain.reconciliation import open_findings
from partsvc.domain.story import StoryLine
from partsvc.store import photos
from partsvc.store.photos import PhotoFilter
from partsvc.work.facts import job_desk, job_row
from partsvc.work.job_view import job_facts
from partsvc.work.papers.account_words import came_and_went, where_now
from partsvc.work.reconciling import (
    AccountView,
    FindingView,
    ReconciliationView,
    finding_view,
    reconciled,
)
from partsvc.work.service import Service

_ACTS_WITH_PHOTOS = 2000
_PHOTOS_OF_ONE = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingAtHand:
    """A finding with what a checker needs to decide on it.

    `anchor` is its own name on a page, the same each time it is read; `follow` the kind and name of
    the trail that leads back from it.
    """

    found: FindingView
    anchor: str
    where: str
    zone: str
    story: tuple[str, ...]
    by: str
    at: str
    seq: int
    deeds: tuple[Deed, ...]
    photos: tuple[str, ...]
    follow: tuple[str, str] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BothSides:
    """Both sides of a part's account in words: what came and went, and where all of it is now."""

    part: str
    called: str
    came: str
    now: str
    balanced: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class JobCheck:
    """The account of a job, its open findings by gravity, and those nobody has looked at yet."""

    account: ReconciliationView
    by_gravity: Mapping[str, tuple[FindingAtHand, ...]]
    not_seen: tuple[FindingAtHand, ...]
    sides: tuple[BothSides, ...]

    @property
    def unbalanced(self) -> tuple[str, ...]:
        """The parts whose two sides differ."""
        return tuple(one.called for one in self.sides if not one.balanced)

    @property
    def open(self) -> int:
        """How many findings keep the book from closing."""
        return sum(map(len, self.by_gravity.values()))


def job_check(service: Service, job: str) -> JobCheck:
    """All that a checker sees of a job at first."""
    with service.database.reading() as db:
        row = job_row(service, db, job)
        desk = job_desk(service, db, row, look_back=True)
        account = reconciled(job_facts(row), desk)
        found = open_findings(desk)
        shown = _photos(service, db, row["id"], found)
    at_hand = _at_hand(desk, found, account.story, shown)
    return JobCheck(
        account=account,
        by_gravity={
            gravity.value: tuple(
                one
                for one in at_hand
                if one.found.gravity == gravity.value and one.found.line == "book"
            )
            for gravity in Gravity
        },
        not_seen=tuple(one for one in at_hand if one.found.line == "seen"),
        sides=tuple(map(_sides, account.accounts)),
    )


def _sides(one: AccountView) -> BothSides:
    return BothSides(
        part=one.part,
        called=one.called,
        came=came_and_went(one.came_in, one.went_out, one.in_total),
        now=where_now(one.is_now, one.now_total),
        balanced=one.balanced,
    )


def _at_hand(
    desk: Desk,
    found: Sequence[Finding],
    story: Sequence[StoryLine],
    shown: Mapping[str, tuple[str, ...]],
) -> list[FindingAtHand]:
    hands = last_hands(desk, found)
    return [
        _one(desk, finding, hand, story, shown) for finding, hand in zip(found, hands, strict=True)
    ]


def _one(
    desk: Desk,
    finding: Finding,
    hand: LastHand,
    story: Iterable[StoryLine],
    shown: Mapping[str, tuple[str, ...]],
) -> FindingAtHand:
    position = desk.plan.positions.get(finding.position)
    step = desk.plan.step_of.get(finding.step)
    own = dict.fromkeys(
        (*finding.photos, *shown.get(finding.position, ()), *shown.get(finding.bag, ()))
    )
    return FindingAtHand(
        found=finding_view(desk, finding),
        anchor=f"f{crc32('|'.join(finding.identity).encode()):08x}",
        where=position.where if position else "",
        zone=step.zone if step else "",
        story=tuple(one.words for one in story if one.position == finding.position != ""),
        by=desk.names.get(hand.by, hand.by),
        at=hand.at,
        seq=hand.seq,
        deeds=deeds(finding),
        photos=tuple(own)[-_PHOTOS_OF_ONE:],
        follow=_follow(finding, known=position is not None),
    )


def _follow(finding: Finding, *, known: bool) -> tuple[str, str] | None:
    if known:
        return "position", finding.position
    if finding.bag:
        return "bag", finding.bag
    return None


def _photos(
    service: Service, db: sqlite3.Connection, job: str, found: Iterable[Finding]
) -> Mapping[str, tuple[str, ...]]:
    """The photos that are kept of each position and bag that a finding names."""
    named = {name for one in found for name in (one.position, one.bag)} - {""}
    if not named:
        return {}
    taken: dict[str, dict[str, None]] = defaultdict(dict)
    for row in photos.of_job(db, service.site, job, PhotoFilter(limit=_ACTS_WITH_PHOTOS)):
        for name in (row["position"], row["bag"]):
            if name in named and row["kept"]:
                taken[name][row["hash"]] = None
    return {name: tuple(hashes) for name, hashes in taken.items()}
