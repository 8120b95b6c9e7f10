"""What is still with people: pieces in lock boxes, locks on the vehicle, locks others removed."""

from __future__ import annotations

from collections.abc import Iterator

from partsvc.domain.checks_position import Explained, called
from partsvc.domain.custody import held_by_people, locks_on
from partsvc.domain.desk import Desk
from partsvc.domain.effects_custody import Unlocked
from partsvc.domain.findings import Finding
from partsvc.domain.people_words import called_by_id


def with_people(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """Pieces that are still with a person."""
    for held in held_by_people(desk.book, desk.account):
        who = called_by_id(held.spot.place.at)
        step = desk.plan.home_step.get(held.spot.lot)
        yield Finding(
            kind="with-person",
            place=str(held.spot.place),
            words=(
                f"{held.quantity} {called(desk, held.part)} still with {who}. Put it back, or "
                "into a bag."
            ),
            quantity=held.quantity,
            step=step.id if step else "",
            step_number=step.number if step else 0,
            position=held.spot.lot if step else "",
            part=held.part,
            lot=held.spot.lot,
        )


def locks_still_on(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """Locks that nobody has taken off."""
    for lock in locks_on(desk.state):
        step = desk.plan.step_of.get(lock.step)
        at = f"Step {step.number}: t" if step else "T"
        yield Finding(
            kind="lock-on",
            place=lock.step or "vehicle",
            words=f"{at}he lock of {called_by_id(lock.person)} is still on. They take it off.",
            step=lock.step,
            step_number=step.number if step else 0,
            lot=lock.since.act,
        )


def locks_removed(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """Locks that somebody else took off: under the workshop's procedure, or by no right at all."""
    for item, said in desk.state.each(Unlocked):
        if said.by_another:
            step = desk.plan.step_of.get(said.step)
            at = f"Step {step.number}: t" if step else "T"
            yield Finding(
                kind="lock-removed",
                place=said.step or "vehicle",
                words=(
                    f"{at}he lock of {called_by_id(said.person)} was taken off by "
                    f"{called_by_id(item.by)}. Quality or the lead says how that came about, and "
                    "tells whose lock it was."
                ),
                step=said.step,
                step_number=step.number if step else 0,
                lot=item.act,
            )
