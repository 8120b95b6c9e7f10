"""What is lost now, when it was lost, and who has searched for it since.

A loss holds the job. Only quality may decide that the job goes on without the piece, and only after
two people have searched: first somebody who worked there, then another.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.effects import Searched
from partsvc.domain.job_state import Happened
from partsvc.domain.ledger import Posted
from partsvc.domain.places import Place, PlaceKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Loss:
    """Pieces of one lot that nobody can find, all last known at one place.

    `since` is the number of the newest act that lost one of them, `acts` are all those acts.
    """

    part: str
    lot: str
    place: Place
    quantity: int
    since: int
    acts: frozenset[str]

    @property
    def last(self) -> Place:
        """Where they were last."""
        return Place.parse(self.place.at)


def losses(desk: Desk) -> Iterator[Loss]:
    """Everything that is lost on a job now, in a settled order."""
    found = {
        (held.spot.place, held.part, held.spot.lot)
        for held in desk.book.holdings()
        if held.spot.place.kind is PlaceKind.LOST and held.spot.account == desk.account
    }
    for place, part, lot in sorted(found):
        lost = [one for one in desk.posted if _loses(one, place, part, lot)]
        yield Loss(
            part=part,
            lot=lot,
            place=place,
            quantity=desk.book.count(place, part, lot=lot),
            since=max((one.seq for one in lost), default=0),
            acts=frozenset(one.act for one in lost),
        )


def _loses(posted: Posted, place: Place, part: str, lot: str) -> bool:
    target = posted.entry.target
    return (target.place, posted.entry.part, target.lot) == (place, part, lot)


def searches(desk: Desk, loss: Loss) -> tuple[Happened, ...]:
    """The searches for a loss that were recorded after it, oldest first.

    A search that names no loss counts when the whole vehicle or the whole bay was searched.
    """
    return tuple(
        happened
        for happened, said in desk.state.each(Searched)
        if happened.seq > loss.since and _looks_for(said, loss)
    )


def _looks_for(said: Searched, loss: Loss) -> bool:
    if said.loss:
        return said.loss in loss.acts
    if said.lot or said.position:
        return loss.lot in (said.lot, said.position) or loss.last.at == said.position
    return said.vehicle or said.bay


def another_searched(found: Sequence[Happened], hands: frozenset[str]) -> bool:
    """Whether somebody who worked on the job searched, and after them another person."""
    for number, first in enumerate(found):
        people = first.people
        if people & hands and any(not people & later.people for later in found[number + 1 :]):
            return True
    return False


def last_words(desk: Desk, place: Place) -> str:
    """Where a piece was last, in words."""
    if place.kind is PlaceKind.BAG:
        return f"bag {shown_bag(place.at)}"
    position = desk.plan.positions.get(place.at)
    return f"its position ({position.where})" if position else "its position"


def search_words(found: Sequence[Happened]) -> str:
    """How far the search is, and what is to be done next."""
    told = "; ".join(
        f"{said.where}: {said.result}"
        for said in (happened.effect for happened in found)
        if isinstance(said, Searched)
    )
    people = {happened.by for happened in found}
    if not found:
        return "Search for it, and record where and what was found."
    if len(people) < 2:
        return f"Searched by one person ({told}); let another search."
    return f"Searched by {len(people)} people ({told}): quality may decide."
