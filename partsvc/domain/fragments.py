"""The rests of broken pieces that are still to be taken out, or that nobody can find.

The piece itself stays in the book where it is, damaged. What broke off it is no piece of its own:
it is named by the act in which it broke, until somebody has taken it out.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace

from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.effects_broken import RestFound, RestLeft
from partsvc.domain.job_state import JobState
from partsvc.domain.parts import part_words


@dataclass(frozen=True, slots=True, kw_only=True)
class Fragment:
    """The rest of so many pieces that broke in one act."""

    broke: str
    part: str
    lot: str
    quantity: int
    lost: bool
    position: str
    bag: str

    @property
    def place(self) -> str:
        """The position or the bag it broke in, as findings name it."""
        return self.position or f"bag:{self.bag}"


def fragments(state: JobState) -> Iterator[Fragment]:
    """All rests not taken out yet, oldest first."""
    found: dict[tuple[str, str, bool], int] = defaultdict(int)
    for _, out in state.each(RestFound):
        found[out.broke, out.part, out.lost] += out.quantity
    for happened, left in state.each(RestLeft):
        key = (happened.act, left.part, left.lost)
        taken = min(found[key], left.quantity)
        found[key] -= taken
        if left.quantity > taken:
            yield Fragment(
                broke=happened.act,
                part=left.part,
                lot=left.lot,
                quantity=left.quantity - taken,
                lost=left.lost,
                position=left.position,
                bag=left.bag,
            )


def by_act(state: JobState) -> Iterator[Fragment]:
    """The same, those of one part and one act together: one breakage is one thing to look for."""
    told: dict[tuple[str, str, bool], Fragment] = {}
    for one in fragments(state):
        key = (one.broke, one.part, one.lost)
        before = told.get(key)
        quantity = one.quantity + (before.quantity if before else 0)
        told[key] = replace(one, quantity=quantity)
    yield from told.values()


def rest_words(desk: Desk, one: Fragment) -> str:
    """What is still to be done about a rest, in words."""
    name = f"the rest of {one.quantity} broken {part_words(one.part, desk.parts.get(one.part))}"
    if one.lost:
        return f"{name} is lost: search for it, and take it out."
    where = f"in bag {shown_bag(one.bag)}" if one.bag else "still in the vehicle"
    return f"{name} is {where}: take it out."


def rests_at(desk: Desk, position: str) -> tuple[str, ...]:
    """What of broken pieces is still to be taken out at one position, in words."""
    return tuple(
        rest_words(desk, one) for one in by_act(desk.state) if position and one.position == position
    )


def rests_in(desk: Desk, bag: str) -> tuple[str, ...]:
    """What of pieces that broke in a bag is still to be found, in words."""
    return tuple(rest_words(desk, one) for one in by_act(desk.state) if bag and one.bag == bag)
