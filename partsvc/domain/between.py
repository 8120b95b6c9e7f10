"""What this book and another one owe each other: loans that are still out, and sides that disagree.

Nobody can tell like pieces apart, so what comes back is taken to be what was lent first.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field, replace

from partsvc.domain.desk import Desk
from partsvc.domain.effects_between import Borrowed, Lent


@dataclass(frozen=True, slots=True, kw_only=True)
class Loan:
    """So many pieces that another job has of this one, and where they went there."""

    other: str
    number: int
    part: str
    quantity: int
    lot: str
    words: str = ""

    @property
    def where(self) -> str:
        """Who has them, for a sentence."""
        return f"job {self.number}" + (f" ({self.words})" if self.words else "")


def loans(desk: Desk) -> tuple[Loan, ...]:
    """What was lent and has not been given back, the oldest first."""
    back: dict[tuple[str, str], int] = defaultdict(int)
    for _, got in desk.state.each(Borrowed):
        back[got.other, got.part] += got.quantity
    found = []
    for _, gave in desk.state.each(Lent):
        returned = min(gave.quantity, back[gave.other, gave.part])
        back[gave.other, gave.part] -= returned
        if gave.quantity > returned:
            found.append(_loan(desk, gave, gave.quantity - returned))
    return tuple(found)


def loans_at(desk: Desk, position: str, parts: Collection[str]) -> tuple[Loan, ...]:
    """What was lent from a position, then what was lent from bags and is at home nowhere."""
    found = [one for one in loans(desk) if one.part in parts]
    here = [one for one in found if one.lot == position]
    return (*here, *(one for one in found if one.lot not in desk.plan.positions))


def _loan(desk: Desk, gave: Lent, quantity: int) -> Loan:
    """A loan, with the place the other job named when it took the pieces in."""
    there = [
        said.effect.goes_to
        for said in desk.said_elsewhere
        if isinstance(said.effect, Borrowed)
        and (said.account, said.effect.part) == (gave.other, gave.part)
        and said.effect.goes_to
    ]
    return Loan(
        other=gave.other,
        number=gave.number,
        part=gave.part,
        quantity=quantity,
        lot=gave.lot,
        words=there[-1] if there else gave.words,
    )


def pending(desk: Desk, other: str, part: str) -> tuple[Lent, ...]:
    """What another book says it gave here and this one has not taken in yet, oldest first."""
    taken = sum(
        got.quantity
        for _, got in desk.state.each(Borrowed)
        if (got.other, got.part) == (other, part)
    )
    left = []
    for said in desk.said_elsewhere:
        gave = said.effect
        if isinstance(gave, Lent) and (said.account, gave.part) == (other, part):
            known = min(taken, gave.quantity)
            taken -= known
            if gave.quantity > known:
                left.append(replace(gave, quantity=gave.quantity - known))
    return tuple(left)


@dataclass(slots=True)
class Sides:
    """What both books say of one part that passed between them."""

    number: int = 0
    gave_here: int = 0
    got_there: int = 0
    gave_there: int = 0
    got_here: int = 0
    words: list[str] = field(default_factory=list)


def both_sides(desk: Desk) -> Iterator[tuple[str, str, Sides]]:
    """For each other book and each part, what was given and taken by either account."""
    found: dict[tuple[str, str], Sides] = defaultdict(Sides)
    for _, gave in desk.state.each(Lent):
        side = found[gave.other, gave.part]
        side.number, side.gave_here = gave.number, side.gave_here + gave.quantity
    for _, got in desk.state.each(Borrowed):
        side = found[got.other, got.part]
        side.number, side.got_here = got.number, side.got_here + got.quantity
    for said in desk.said_elsewhere:
        side = found[said.account, said.effect.part]
        side.number = said.number
        if isinstance(said.effect, Lent):
            side.gave_there += said.effect.quantity
            side.words += [said.effect.words] if said.effect.words else []
        else:
            side.got_there += said.effect.quantity
    for (other, part), side in sorted(found.items(), key=lambda pair: pair[0]):
        yield other, part, side
