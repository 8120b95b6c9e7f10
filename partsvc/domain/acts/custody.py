"""Who holds what: pieces handed over from person to person, locks hung and taken off.

Pieces change hands when the taker says so, on their own sign-in; whoever gives can only ask. A
lock is taken off by the person whose it is.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.fields import PartNumber, StepId, Where
from partsvc.domain.acts.kinds import ActKind
from partsvc.domain.custody import locks_on, meant, offers
from partsvc.domain.desk import Draft
from partsvc.domain.effects_custody import CustodyOffered, CustodyTaken, Locked, Unlocked
from partsvc.domain.people_words import called_by_id
from partsvc.domain.places import PlaceKind, with_person
from partsvc.domain.plan import Position
from partsvc.domain.records import Id, Says
from partsvc.errors import Invalid, NotFound

ANOTHERS_LOCK = "anothers-lock"


@dataclass(frozen=True, slots=True, kw_only=True)
class HandOver:
    """What one person holds goes to another: moved when the taker records it."""

    to: Annotated[Id, Says("who takes it over; it moves when they record it themselves")]
    from_person: Annotated[
        Id | None, Says("who gives it; who did it, or the only one who can be meant")
    ] = None
    part: PartNumber | None = None
    position: Where | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lock:
    """Whoever does it hangs their own lock on the vehicle."""

    step: StepId | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Unlock:
    """Whoever does it takes their own lock off again."""

    step: StepId | None = None
    person: Annotated[Id | None, Says("whose lock it is; your own if left out")] = None


def known_person(draft: Draft, person: str, field: str) -> str:
    """The person, if anybody here is called that."""
    if person not in draft.desk.people:
        raise NotFound(f"Nobody here is called {person}.", **{field: person})
    return person


def hand_over(draft: Draft, act: HandOver) -> None:
    """The taker takes what another holds; recorded by anybody else, the taker is asked to."""
    taker = known_person(draft, act.to, "to")
    if act.position is not None:
        draft.position(act.position)
    taking = draft.doing.recorded_by == taker
    giver = _giver(draft, act, taking=taking)
    if giver == taker:
        raise Invalid("It is with this person already. Say who takes it over.", field="to")
    held = meant(draft.book, giver, part=act.part or "", position=act.position or "")
    if not held:
        raise draft.refusal(
            "nothing-there",
            f"By the book {called_by_id(giver)} holds nothing of this. The custody list of the "
            "job says who holds what.",
        )
    said = {
        "from_person": giver,
        "to_person": taker,
        "part": act.part or "",
        "position": act.position or "",
    }
    if not taking:
        draft.effect(CustodyOffered(**said))
        draft.warn(
            f"Nothing has moved yet: it is with {called_by_id(giver)} until "
            f"{called_by_id(taker)} takes it over, on their own sign-in."
        )
        return
    for one in held:
        draft.carry(one, with_person(taker))
    draft.effect(CustodyTaken(**said))


def _giver(draft: Draft, act: HandOver, *, taking: bool) -> str:
    """Who gives: as said; else who did it, or for the taker the one who offered or holds it."""
    if act.from_person is not None:
        return known_person(draft, act.from_person, "from_person")
    if not taking:
        return draft.doing.by
    found = {one.said.from_person for one in offers(draft.desk) if one.said.to_person == act.to}
    found = found or {
        held.spot.place.at
        for held in draft.book.holdings()
        if held.spot.place.kind is PlaceKind.WITH
        and held.spot.account == draft.desk.account
        and act.part in (None, held.part)
        and act.position in (None, held.spot.lot)
    } - {act.to}
    if len(found) != 1:
        raise Invalid("Say in `from_person` who gives it to you.", field="from_person")
    return found.pop()


def lock(draft: Draft, act: Lock) -> None:
    """A person's own lock goes on; nobody brings voltage back until they take it off."""
    step = draft.step_of(act.step).id if act.step is not None else ""
    if _is_on(draft, draft.doing.by, step):
        raise draft.refusal("lock-is-on", "Your lock is on there already.")
    draft.effect(Locked(person=draft.doing.by, step=step))


def unlock(draft: Draft, act: Unlock) -> None:
    """A person's own lock comes off; another's only under the workshop's procedure."""
    doing = draft.doing
    person = known_person(draft, act.person or doing.by, "person")
    step = draft.step_of(act.step).id if act.step is not None else ""
    if not _is_on(draft, person, step):
        raise draft.refusal(
            "nothing-there",
            "By the book this lock is not on. The custody list of the job says which are.",
        )
    own = person == doing.by == doing.recorded_by
    if not own:
        _anothers(draft, person)
    draft.effect(Unlocked(person=person, step=step, by_another=None if own else True))


def _is_on(draft: Draft, person: str, step: str) -> bool:
    return any((one.person, one.step) == (person, step) for one in locks_on(draft.desk.state))


def _anothers(draft: Draft, person: str) -> None:
    draft.objection(
        ANOTHERS_LOCK,
        f"This is the lock of {called_by_id(person)}: only they take it off, on their own "
        "sign-in. If they cannot be reached, the lead removes it by the workshop's procedure, "
        "and it is recorded as done already.",
        person=person,
    )


def into_custody(draft: Draft, person: str, positions: Iterable[Position]) -> str:
    """In whose box pieces taken off go: the person's who records it; another is asked first.

    Nobody is told to hold what they never said they took.
    """
    known_person(draft, person, "with_person")
    keeper = draft.doing.recorded_by
    if person != keeper:
        for position in positions:
            draft.effect(CustodyOffered(from_person=keeper, to_person=person, position=position.id))
        draft.warn(
            f"It is with you until {called_by_id(person)} takes it over, on their own sign-in."
        )
    return keeper


def not_anothers(draft: Draft, person: str) -> None:
    """Object to taking pieces out of the box of somebody who has no part in it."""
    known_person(draft, person, "from_person")
    if person not in draft.doing.people:
        draft.objection(
            "with-another",
            f"{called_by_id(person).capitalize()} holds these. Take them over first "
            "(`hand-over`), on your own sign-in.",
            person=person,
        )


KINDS = (
    ActKind(
        kind="hand-over",
        group="custody",
        request=HandOver,
        function=hand_over,
        says="What a person holds goes to another; it moves when the taker records it.",
        example={"to": "p2x7mrt4kz9qwe"},
    ),
    ActKind(
        kind="lock",
        group="custody",
        request=Lock,
        function=lock,
        says="Whoever does it hangs their own lock on the vehicle.",
        example={"step": "service-plug"},
    ),
    ActKind(
        kind="unlock",
        group="custody",
        request=Unlock,
        function=unlock,
        says="Whoever does it takes their own lock off again.",
        example={"step": "service-plug"},
    ),
)
