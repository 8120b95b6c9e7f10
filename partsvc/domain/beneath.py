"""What lies beneath a close-up: whatever is open there is covered once the next thing is on.

A close-up before a shield goes on, before the pack is raised, before voltage, before the road test
is passed on what the book says of the steps beneath, and not on a look alone.
"""

from __future__ import annotations

from collections.abc import Container, Iterator

from partsvc.domain.desk import Desk
from partsvc.domain.findings import Finding
from partsvc.domain.places import PlaceKind
from partsvc.domain.plan import Hold, Phase, Step
from partsvc.domain.progress import ancestors
from partsvc.domain.reconciliation import open_findings
from partsvc.domain.temporaries import temporary_part

#: What stays open for quality or the lead, and hides nothing under a cover.
_NOT_COVERED = ("hold-open", "hold-passed-by", "step-not-done", "done-anyway", "refused-act")
_IN_BAGS = ("left-over", "issued-not-used", "bag-not-seen-empty")


def beneath(desk: Desk, step: Step, hold: Hold) -> frozenset[str]:
    """The steps that a close-up looks at: those it names, or all that must be back before it."""
    named = [name for name in hold.beneath if name in desk.plan.step_of]
    return frozenset(named or ancestors(desk.plan, step, Phase.REFIT))


def open_beneath(desk: Desk, step: Step, hold: Hold) -> tuple[Finding, ...]:
    """Everything that is open beneath a close-up and that nobody accepted; needs the entries."""
    steps = beneath(desk, step, hold)
    bags = frozenset(_bags_of(desk, steps))
    due = frozenset(_due(desk, steps | {step.id}, steps))
    return tuple(one for one in open_findings(desk) if _is_beneath(one, steps, bags, due))


def _is_beneath(
    finding: Finding,
    steps: Container[str],
    bags: Container[str],
    due: Container[tuple[str, str]],
) -> bool:
    if finding.kind in _NOT_COVERED:
        return False
    if finding.kind == "on-vehicle":
        return (finding.step, finding.part) in due
    return finding.step in steps or (finding.kind in _IN_BAGS and finding.bag in bags)


def _due(desk: Desk, by: Container[str], steps: Container[str]) -> Iterator[tuple[str, str]]:
    """The items on the vehicle, by step and part, that have to be off before it is covered.

    What the plan wants off before a step beneath or this one; what lies beneath and is wanted off
    before no step at all.
    """
    planned = {
        (home.id, temporary_part(item)): item.off_before
        for home in desk.plan.steps
        for item in home.temporaries
    }
    for held in desk.book.holdings():
        if held.spot.place.kind is PlaceKind.ON_VEHICLE:
            home = held.spot.place.at
            before = planned.get((home, held.part), "")
            if before in by if before else home in steps:
                yield home, held.part


def _bags_of(desk: Desk, steps: Container[str]) -> Iterator[str]:
    """The bags that pieces of these steps lay in, or came out of when they were fitted there."""
    homes = {name for name, step in desk.plan.home_step.items() if step.id in steps}
    for posted in desk.posted:
        source, target = posted.entry.source, posted.entry.target
        if target.place.kind is PlaceKind.BAG and target.lot in homes:
            yield target.place.at
        if source.place.kind is PlaceKind.BAG and target.place.at in homes:
            yield source.place.at
