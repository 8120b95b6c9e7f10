"""What is not in order because nobody can find it: lost pieces, and the rests of broken ones."""

from __future__ import annotations

from collections.abc import Iterator

from partsvc.domain.checks_position import Explained, called
from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.findings import Finding
from partsvc.domain.fragments import Fragment, by_act, rest_words
from partsvc.domain.losses import last_words, losses, search_words, searches


def lost_pieces(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """Pieces nobody can find, with who has searched where so far."""
    for loss in losses(desk):
        step = desk.plan.home_step.get(loss.lot)
        yield Finding(
            kind="lost",
            place=str(loss.place),
            words=(
                f"{loss.quantity} {called(desk, loss.part)} lost; last known in "
                f"{last_words(desk, loss.last)}. {search_words(searches(desk, loss))}"
            ),
            quantity=loss.quantity,
            step=step.id if step else "",
            step_number=step.number if step else 0,
            position=loss.lot if step else "",
            part=loss.part,
            lot=loss.lot,
        )


def rests_of_broken(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """What broke off and is still in the vehicle, or lost, until it is taken out or accepted."""
    for one in by_act(desk.state):
        step = desk.plan.home_step.get(one.position)
        yield Finding(
            kind="fragment-lost" if one.lost else "fragment",
            place=one.place,
            words=f"{_where(desk, one)}: {rest_words(desk, one)}",
            quantity=one.quantity,
            step=step.id if step else "",
            step_number=step.number if step else 0,
            position=one.position,
            bag=one.bag,
            part=one.part,
            lot=one.broke,
        )


def _where(desk: Desk, one: Fragment) -> str:
    if one.bag:
        return f"Bag {shown_bag(one.bag)}"
    position = desk.plan.positions.get(one.position)
    step = desk.plan.home_step.get(one.position)
    return f"Step {step.number}, {position.where}" if position and step else one.position
