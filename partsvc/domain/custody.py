"""Who holds what on a job: pieces with a person, what is offered, whose locks are on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from partsvc.domain.desk import Desk
from partsvc.domain.effects_custody import CustodyOffered, CustodyTaken, Locked, Unlocked
from partsvc.domain.job_state import Happened, JobState
from partsvc.domain.ledger import Book, Holding
from partsvc.domain.places import PlaceKind, with_person


@dataclass(frozen=True, slots=True)
class LockOn:
    """A person's own lock that is on the vehicle, at a step or for all of it, and since when."""

    person: str
    step: str
    since: Happened


def locks_on(state: JobState) -> tuple[LockOn, ...]:
    """The locks that are on, the first hung first."""
    happened: list[tuple[Happened, Locked | Unlocked]] = [
        *state.each(Locked),
        *state.each(Unlocked),
    ]
    found: dict[tuple[str, str], LockOn] = {}
    for item, said in sorted(happened, key=lambda one: one[0].seq):
        if isinstance(said, Locked):
            found.setdefault((said.person, said.step), LockOn(said.person, said.step, item))
        else:
            found.pop((said.person, said.step), None)
    return tuple(found.values())


def held_by_people(book: Book, account: str) -> tuple[Holding, ...]:
    """The pieces of a job that are with somebody, in a settled order."""
    found = (
        held
        for held in book.holdings()
        if held.quantity > 0
        and held.spot.account == account
        and held.spot.place.kind is PlaceKind.WITH
    )
    return tuple(sorted(found, key=lambda held: (held.spot, held.part)))


def meant(book: Book, person: str, *, part: str = "", position: str = "") -> tuple[Holding, ...]:
    """What a person holds, or of it one part or what came off at one position."""
    held = book.at(with_person(person), part)
    return tuple(one for one in held if position in ("", one.spot.lot))


@dataclass(frozen=True, slots=True)
class Offer:
    """What somebody is asked to take over, and by which act they were asked."""

    said: CustodyOffered
    asked: Happened
    held: tuple[Holding, ...]


def offers(desk: Desk) -> Iterator[Offer]:
    """What was offered and not taken over yet, as long as the giver still holds it."""
    taken = list(desk.state.each(CustodyTaken))
    latest: dict[tuple[str, str, str], tuple[Happened, CustodyOffered]] = {
        (said.from_person, said.part, said.position): (item, said)
        for item, said in desk.state.each(CustodyOffered)
    }
    for item, said in latest.values():
        answered = any(
            after.seq > item.seq
            and (one.from_person, one.to_person) == (said.from_person, said.to_person)
            for after, one in taken
        )
        held = meant(desk.book, said.from_person, part=said.part, position=said.position)
        if held and not answered:
            yield Offer(said, item, held)
