"""The custody list of a job: who holds what, who is asked to take it over, whose locks are on.

This is what a person looks at before switching on, and the giver to see whether the plug was taken.
Names stand here, for this is only shown and never kept.
"""

from __future__ import annotations

from dataclasses import dataclass

from partsvc.domain.custody import LockOn, Offer, held_by_people, locks_on, offers
from partsvc.domain.desk import Desk
from partsvc.domain.job_facts import JobFacts
from partsvc.domain.ledger import Holding
from partsvc.domain.look import called
from partsvc.domain.site_time import local_words


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldLine:
    """Pieces that are with a person, and where they belong."""

    person: str
    name: str
    part: str
    called: str
    quantity: int
    position: str
    where: str
    step: str
    step_number: int
    energises: bool
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferLine:
    """A person who is asked to take something over; it is with the giver until they do."""

    from_person: str
    from_name: str
    to_person: str
    to_name: str
    part: str
    position: str
    quantity: int
    asked_at: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LockLine:
    """A person's own lock that is on the vehicle."""

    person: str
    name: str
    step: str
    step_number: int
    since: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CustodyList:
    """Who holds what on a job, as of this moment."""

    job: JobFacts
    held: tuple[HeldLine, ...]
    asked: tuple[OfferLine, ...]
    locks: tuple[LockLine, ...]


def custody_list(job: JobFacts, desk: Desk) -> CustodyList:
    """The whole custody list."""
    return CustodyList(
        job=job,
        held=tuple(_held(desk, held) for held in held_by_people(desk.book, desk.account)),
        asked=tuple(_asked(desk, offer) for offer in offers(desk)),
        locks=tuple(_lock(desk, lock) for lock in locks_on(desk.state)),
    )


def custody_words(desk: Desk) -> tuple[str, ...]:
    """The custody list in one sentence each, for the head of other lists."""
    locks = (_lock(desk, lock).words for lock in locks_on(desk.state))
    held = (_held(desk, one).words for one in held_by_people(desk.book, desk.account))
    return (*locks, *held, *(_asked(desk, offer).words for offer in offers(desk)))


def _name(desk: Desk, person: str) -> str:
    return desk.names.get(person, person)


def _held(desk: Desk, held: Holding) -> HeldLine:
    person, home = held.spot.place.at, desk.plan.home_step.get(held.spot.lot)
    position = desk.plan.positions.get(held.spot.lot)
    of = f" of step {home.number}, {position.where}," if home and position else ""
    what = f"{held.quantity} {called(desk, held.part)}"
    return HeldLine(
        person=person,
        name=_name(desk, person),
        part=held.part,
        called=called(desk, held.part),
        quantity=held.quantity,
        position=position.id if position else "",
        where=position.where if position else "",
        step=home.id if home else "",
        step_number=home.number if home else 0,
        energises=bool(home and home.energises),
        words=f"{what}{of} with {_name(desk, person)}.",
    )


def _asked(desk: Desk, offer: Offer) -> OfferLine:
    said = offer.said
    giver, taker = _name(desk, said.from_person), _name(desk, said.to_person)
    names = dict.fromkeys(called(desk, held.part) for held in offer.held)
    return OfferLine(
        from_person=said.from_person,
        from_name=giver,
        to_person=said.to_person,
        to_name=taker,
        part=said.part,
        position=said.position,
        quantity=sum(held.quantity for held in offer.held),
        asked_at=offer.asked.at,
        words=f"{taker} is asked to take over from {giver}: {', '.join(names)}.",
    )


def _lock(desk: Desk, lock: LockOn) -> LockLine:
    step = desk.plan.step_of.get(lock.step)
    at = f" at step {step.number} ({step.title})" if step else ""
    since = local_words(lock.since.at, desk.zone)
    return LockLine(
        person=lock.person,
        name=_name(desk, lock.person),
        step=lock.step,
        step_number=step.number if step else 0,
        since=lock.since.at,
        words=f"The lock of {_name(desk, lock.person)} is on the vehicle{at}, since {since}.",
    )
