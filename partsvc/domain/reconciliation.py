"""Whether the account closes: findings, the account of each part, and the two lines.

*The book closes* and *seen* are two separate lines, never one green tick: the first says that
entries and plan agree, the second that somebody looked. An exchange of look-alikes whose scans and
counts agree leaves no record at all; only an independent look shows it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from partsvc.domain.checks_applied import not_applied
from partsvc.domain.checks_away import away_pieces, between_jobs
from partsvc.domain.checks_bags import tags_in_doubt
from partsvc.domain.checks_custody import locks_removed, locks_still_on, with_people
from partsvc.domain.checks_elsewhere import (
    bags_not_seen_empty,
    counts_that_differ,
    done_anyway,
    left_in_bags,
    looked_wrong,
    on_the_vehicle,
    remarks,
    steps_not_done,
    used_bags,
)
from partsvc.domain.checks_holds import holds_open
from partsvc.domain.checks_lost import lost_pieces, rests_of_broken
from partsvc.domain.checks_people import refused_acts, second_looks
from partsvc.domain.checks_position import Explained, position_findings
from partsvc.domain.checks_variants import (
    counts_not_said,
    steps_left_out,
    vehicle_differs,
)
from partsvc.domain.desk import Desk
from partsvc.domain.effects import Accepted, Released
from partsvc.domain.endings import taken_over_by
from partsvc.domain.findings import Finding, LineOf
from partsvc.domain.ledger import Entry, Posted
from partsvc.domain.losses import losses
from partsvc.domain.old_parts import nothing_to_look_into
from partsvc.domain.places import Gate, PlaceKind

Check = Callable[[Desk, Explained], Iterator[Finding]]

# The order matters for one pair only: positions explain what lies in bags before the bags speak.
CHECKS: tuple[Check, ...] = (
    position_findings,
    left_in_bags,
    on_the_vehicle,
    lost_pieces,
    rests_of_broken,
    away_pieces,
    between_jobs,
    counts_that_differ,
    tags_in_doubt,
    looked_wrong,
    remarks,
    vehicle_differs,
    counts_not_said,
    holds_open,
    steps_not_done,
    steps_left_out,
    not_applied,
    bags_not_seen_empty,
    with_people,
    locks_still_on,
    locks_removed,
    second_looks,
    refused_acts,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PartAccount:
    """The account of one part: what came into the job, less what left it, and where it is now."""

    part: str
    came_in: dict[str, int]
    went_out: dict[str, int]
    is_now: dict[str, int]

    @property
    def balanced(self) -> bool:
        """Whether the two sides add up."""
        came = sum(self.came_in.values()) - sum(self.went_out.values())
        return came == sum(self.is_now.values())


@dataclass(frozen=True, slots=True, kw_only=True)
class Reconciliation:
    """How a job stands: what is open, what was accepted, and both sides of each part."""

    open: tuple[Finding, ...]
    accepted: tuple[tuple[Finding, str], ...]
    accounts: tuple[PartAccount, ...]
    gates: dict[str, int]
    book_closes: bool
    bags_used: int
    bags_seen_empty: int
    vehicle_searched: bool
    bay_searched: bool

    @property
    def seen(self) -> bool:
        """Whether everything was looked at: bags empty, vehicle and bay searched, second looks."""
        bags = self.bags_used == self.bags_seen_empty
        return bags and self.vehicle_searched and self.bay_searched and not self.looks_wanted

    @property
    def looks_wanted(self) -> int:
        """How many critical positions still want a second look."""
        return sum(finding.kind == "second-look" for finding in self.open)


def all_findings(desk: Desk) -> tuple[Finding, ...]:
    """Everything that is not in order, accepted or not; the gravest kinds first.

    What another job took over is that job's to put in order.
    """
    if taken_over_by(desk.state):
        return ()
    explained = Explained()
    found = [finding for check in CHECKS for finding in check(desk, explained)]
    found += done_anyway(desk, found)
    return tuple(sorted(_told_once(found), key=_by_gravity))


def _told_once(found: Iterable[Finding]) -> Iterable[Finding]:
    """One finding for what an acceptance could not tell apart: quantities and words together."""
    told: dict[tuple[str, str, str, str], Finding] = {}
    for finding in found:
        before = told.get(finding.identity)
        if before is not None:
            words = before.words if finding.words in before.words else _both(before, finding)
            finding = replace(before, quantity=before.quantity + finding.quantity, words=words)
        told[finding.identity] = finding
    return told.values()


def _both(before: Finding, finding: Finding) -> str:
    return f"{before.words} {finding.words}"


def _by_gravity(finding: Finding) -> tuple[int, int, str, str]:
    order = {"high": 0, "medium": 1, "low": 2}
    return (order[finding.gravity], finding.step_number, finding.place, finding.kind)


def _acceptances(desk: Desk) -> dict[tuple[str, str, str, str], Accepted]:
    lost_since = {
        (str(loss.place), loss.part, loss.lot): loss.since
        for loss in losses(desk)
        if desk.state.accepted
    }
    return {
        (said.finding, said.place, said.part, said.lot): said
        for happened, said in desk.state.each(Accepted)
        if said.finding != "lost"
        # Found and lost again is another loss, however few: nobody has decided on that one.
        or happened.seq > lost_since.get((said.place, said.part, said.lot), 0)
    }


def open_findings(desk: Desk) -> tuple[Finding, ...]:
    """What is not in order and not accepted; an acceptance lapses when the quantity grows."""
    accepted = _acceptances(desk)
    return tuple(finding for finding in all_findings(desk) if _is_open(finding, accepted))


def _is_open(finding: Finding, accepted: Mapping[tuple[str, str, str, str], Accepted]) -> bool:
    taken = accepted.get(finding.identity)
    return taken is None or taken.quantity < finding.quantity


def reconcile(desk: Desk) -> Reconciliation:
    """The whole account of a job."""
    found = all_findings(desk)
    accepted = _acceptances(desk)
    still_open = tuple(finding for finding in found if _is_open(finding, accepted))
    taken = tuple(
        (finding, accepted[finding.identity].reason)
        for finding in found
        if not _is_open(finding, accepted)
    )
    accounts = tuple(part_accounts(desk))
    used, unseen = _bags(desk, still_open)
    return Reconciliation(
        open=still_open,
        accepted=taken,
        accounts=accounts,
        gates=gate_reasons(desk),
        book_closes=not any(one.line is LineOf.BOOK for one in still_open)
        and all(account.balanced for account in accounts),
        bags_used=used,
        bags_seen_empty=used - unseen,
        vehicle_searched=_searched(desk, "vehicle_searched", desk.state.vehicle_searched),
        bay_searched=_searched(desk, "bay_searched", desk.state.bay_searched),
    )


def _bags(desk: Desk, still_open: Iterable[Finding]) -> tuple[int, int]:
    """How many bags were ever used, and how many of them nobody has seen empty."""
    used = used_bags(desk) - nothing_to_look_into(desk)
    unseen = {finding.bag for finding in still_open if finding.kind == "bag-not-seen-empty"}
    full = {
        held.spot.place.at
        for held in desk.book.holdings()
        if held.quantity > 0 and held.spot.place.kind is PlaceKind.BAG
    }
    return len(used), len(unseen | (full & used))


def _searched(desk: Desk, member: str, at_seq: int) -> bool:
    """Searched by an act after the last piece moved, or by the statement of the release."""
    released = desk.state.released
    stated = released is not None and isinstance(released.effect, Released)
    if stated and getattr(released.effect, member):  # type: ignore[union-attr]
        return True
    moved = max((posted.seq for posted in desk.posted), default=0)
    return at_seq > max(moved, *desk.touched.values(), 0)


def part_accounts(desk: Desk) -> Iterator[PartAccount]:
    """Both sides of every part, from two different records: the entries and the balances."""
    came: dict[str, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    went: dict[str, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    now: dict[str, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for posted in desk.posted:
        entry = posted.entry
        inside_before, inside_after = _inside(desk, entry, before=True), _inside(desk, entry)
        if inside_after and not inside_before:
            came[entry.part][_door(entry, before=True)] += entry.quantity
        if inside_before and not inside_after:
            went[entry.part][_door(entry)] += entry.quantity
    for held in desk.book.holdings():
        spot = held.spot
        if spot.account == desk.account and spot.place.kind is not PlaceKind.OUTSIDE:
            now[held.part][spot.place.kind.value] += held.quantity
    for part in sorted(came.keys() | now.keys()):
        yield PartAccount(
            part=part, came_in=dict(came[part]), went_out=dict(went[part]), is_now=dict(now[part])
        )


def _inside(desk: Desk, entry: Entry, *, before: bool = False) -> bool:
    spot = entry.source if before else entry.target
    return spot.account == desk.account and spot.place.kind is not PlaceKind.OUTSIDE


def _door(entry: Entry, *, before: bool = False) -> str:
    place = (entry.source if before else entry.target).place
    return place.at if place.kind is PlaceKind.OUTSIDE else f"{place.kind.value}"


def gate_reasons(desk: Desk) -> dict[str, int]:
    """The net of each reason for passing the gate, in pieces; in is positive."""
    net: dict[str, int] = {gate.value: 0 for gate in Gate}
    for posted in desk.posted:
        entry = posted.entry
        for spot, sign in ((entry.source, 1), (entry.target, -1)):
            if spot.place.kind is PlaceKind.OUTSIDE and spot.account == desk.account:
                net[spot.place.at] += sign * entry.quantity
    return {gate: quantity for gate, quantity in net.items() if quantity}


def live(posted: Iterable[Posted], reversed_acts: frozenset[str]) -> tuple[Posted, ...]:
    """The entries of acts that still hold: neither reversed nor reversals."""
    return tuple(item for item in posted if item.act not in reversed_acts)
