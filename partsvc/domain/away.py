"""What is out of the house: how much of it is expected back, and by when.

The book has the pieces at `away:paint shop`; the acts that sent them say when they are due. Pieces
that went for good with an exchanged assembly are away as well, and nobody waits for them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from partsvc.domain.desk import Desk
from partsvc.domain.effects_away import SentAway, StaysAway
from partsvc.domain.job_state import JobState
from partsvc.domain.ledger import Book, Holding
from partsvc.domain.places import Condition, Place, PlaceKind


def away_at(to: str) -> Place:
    """Out of the house, with somebody."""
    return Place(PlaceKind.AWAY, to)


def held_away(book: Book, account: str) -> tuple[Holding, ...]:
    """Everything of a job that is out of the house, in a settled order."""
    found = [
        held
        for held in book.holdings()
        if held.quantity > 0
        and held.spot.place.kind is PlaceKind.AWAY
        and held.spot.account == account
    ]
    return tuple(sorted(found, key=lambda held: (held.spot, held.part)))


def stays(state: JobState, place: Place, part: str, lot: str) -> int:
    """How many pieces of a lot went there for good."""
    return sum(
        gone.quantity
        for _, gone in state.each(StaysAway)
        if (gone.to, gone.part, gone.lot) == (place.at, part, lot)
    )


def expected(book: Book, state: JobState, account: str) -> Iterator[Holding]:
    """What is out of the house and is to come back; of one lot the worse ones stay away."""
    left: dict[tuple[Place, str, str], int] = {}
    for held in held_away(book, account):
        key = (held.spot.place, held.part, held.spot.lot)
        gone = left.setdefault(key, stays(state, *key))
        back = max(0, held.quantity - gone)
        left[key] = gone - (held.quantity - back)
        if back:
            yield Holding(held.part, held.spot, back)


def expected_home(desk: Desk, position: str, parts: Iterable[str]) -> int:
    """How many good pieces of a position are out of the house and will come back to it."""
    return sum(
        held.quantity - gone
        for held, gone in _of_position(desk, position, parts)
        if held.spot.condition is not Condition.DAMAGED
    )


def gone_for_good(desk: Desk, position: str, parts: Iterable[str]) -> Iterator[Holding]:
    """Pieces of a position that left with an exchanged assembly and stay with it."""
    for held, gone in _of_position(desk, position, parts):
        if gone:
            yield Holding(held.part, held.spot, gone)


def _of_position(desk: Desk, position: str, parts: Iterable[str]) -> Iterator[tuple[Holding, int]]:
    """Pieces of a position that are away, and how many of them nobody waits for."""
    for part in parts:
        for held in desk.book.lying(part, PlaceKind.AWAY):
            if held.spot.lot == position:
                gone = stays(desk.state, held.spot.place, part, position)
                yield held, min(gone, held.quantity)


def due_of(sent: Iterable[SentAway], place: Place, part: str, lot: str, quantity: int) -> SentAway:
    """What was said when these pieces were sent: of several times the one due first.

    What came back is taken to be what was sent first, so the newest are looked at until they
    account for as many as are out.
    """
    said = [one for one in sent if (one.to, one.part, one.lot) == (place.at, part, lot)]
    still: list[SentAway] = []
    for one in reversed(said):
        if quantity > 0:
            still.append(one)
            quantity -= one.quantity
    dated = [one for one in still if one.due]
    if dated:
        return min(dated, key=lambda one: one.due)
    return still[0] if still else SentAway(to=place.at, part=part, lot=lot, quantity=0)


def due_words(due: str, today: str) -> str:
    """When it is due, in words; days are written as 2030-01-31, so that they compare as text."""
    if not due:
        return "no day was given"
    return f"overdue since {due}" if today and due < today else f"due {due}"
