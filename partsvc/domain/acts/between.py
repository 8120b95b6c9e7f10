"""Between two vans side by side: lent and borrowed, each side an act in its own book.

Never both in one transaction: each side is true by itself, names the other by its number, and what
only one of them says is a finding in both.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated

from partsvc.domain.acts.away import home_words
from partsvc.domain.acts.bags import from_bag
from partsvc.domain.acts.fields import BagCode, Lot, PartNumber, Where
from partsvc.domain.acts.kinds import ActKind, Needs
from partsvc.domain.acts.known import heard_of
from partsvc.domain.acts.strip import taken_off
from partsvc.domain.between import loans, pending
from partsvc.domain.desk import WORKSHOP, Draft, total, worn
from partsvc.domain.effects_between import Borrowed, Lent
from partsvc.domain.gates import may_strip
from partsvc.domain.ledger import Holding
from partsvc.domain.other_books import OtherJob, book_words
from partsvc.domain.places import Condition, Gate, Place, PlaceKind, outside
from partsvc.domain.records import Id, Line, Quantity, Says
from partsvc.errors import Invalid, NotFound

SETTLED_BY_WHAT_IS_FOUND = (PlaceKind.LOST, PlaceKind.MISSING)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lend:
    """Pieces of this job went to another one: from a bag, or straight off their position."""

    to_job: Annotated[Id, Says("the other job, by its id or its number")]
    part: PartNumber
    bag: BagCode | None = None
    position: Annotated[Where | None, Says("robbed straight from this position")] = None
    lot: Lot | None = None
    quantity: Quantity = 1
    words: Annotated[Line | None, Says("what for, or who asked")] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Borrow:
    """Pieces of another job came into a bag of this one; or the workshop gave back what is ours."""

    from_job: Annotated[
        Id, Says("the other job, by its id or its number; `workshop` for a piece from the bay")
    ]
    bag: BagCode
    part: PartNumber
    quantity: Quantity = 1
    position: Annotated[Where | None, Says("the position here that they are for")] = None
    condition: Annotated[Condition | None, Says("as the other job gave it if left out")] = None
    words: Line | None = None


def lend(draft: Draft, act: Lend) -> None:
    """Pieces leave this book for another job's."""
    other = other_book(draft, act.to_job, "to_job")
    if other.account == WORKSHOP:
        raise Invalid(
            "Name the job it went to. What goes back to the store is returned, or discarded.",
            field="to_job",
        )
    heard_of(draft, act.part)
    for held in _lent_ones(draft, act):
        condition = worn(held.spot.condition, held.spot.place.kind)
        draft.carry(held, outside(Gate.OTHER_JOB), condition=condition)
        draft.effect(
            Lent(
                other=other.account,
                number=other.number,
                part=held.part,
                quantity=held.quantity,
                lot=held.spot.lot,
                condition=condition.value,
                home=home_words(draft, held.spot.lot),
                words=act.words or "",
            )
        )
    draft.warn(f"Have it recorded on job {other.number} too (borrow); until then both jobs ask.")
    if other.state != "open":
        draft.warn(f"Job {other.number} is released. Ask the lead before it goes in there.")


def other_book(draft: Draft, named: str, field: str) -> OtherJob:
    """The other book that an act names; never its own."""
    other = draft.desk.other_jobs.get(named)
    if other is None:
        raise NotFound(f"There is no job {named}. Look at the list of jobs.", job=named)
    if other.account == draft.desk.account:
        raise Invalid("That is this very job. Name the other one.", field=field)
    return other


def _lent_ones(draft: Draft, act: Lend) -> list[Holding]:
    if (act.bag is None) == (act.position is None):
        raise Invalid("Say where it was: in a `bag` or at a `position`.", field="bag")
    if act.bag is not None:
        place = draft.use_bag(act.bag)
        return from_bag(draft, place, part=act.part, lot=act.lot, quantity=act.quantity)
    if act.lot is not None:
        raise Invalid("A `lot` is told apart in a bag only.", field="lot")
    position = draft.position(act.position or "")
    may_strip(draft, draft.desk.plan.home_step[position.id])
    return taken_off(draft, position, part=act.part, quantity=act.quantity)


def borrow(draft: Draft, act: Borrow) -> None:
    """Pieces of another book come into a bag; what the workshop found settles what was lost."""
    other = other_book(draft, act.from_job, "from_job")
    heard_of(draft, act.part)
    goes_to = ""
    if act.position is not None:
        draft.position(act.position)
        goes_to = home_words(draft, act.position)
    bag = draft.use_bag(act.bag)
    settled = _settled(draft, act, bag) if other.account == WORKSHOP else 0
    _let_in(draft, act, other, bag, act.quantity - settled)
    took_in(
        draft, other, act.part, act.quantity,
        bag=bag.at, settled=settled, goes_to=goes_to, words=act.words or "",
    )  # fmt: skip
    if settled:
        draft.warn(f"{settled} that were lost or missing here are settled by it.")


def took_in(
    draft: Draft,
    other: OtherJob,
    part: str,
    quantity: int,
    *,
    bag: str,
    settled: int,
    goes_to: str = "",
    words: str = "",
) -> None:
    """Say in this book that it has what the other one gave."""
    said = sum(one.quantity for one in pending(draft.desk, other.account, part))
    if said < quantity:
        draft.warn(
            f"{book_words(other.number).capitalize()} does not say that it gave "
            f"{quantity - said} of these. Have it recorded there too (lend)."
        )
    draft.effect(
        Borrowed(
            other=other.account,
            number=other.number,
            part=part,
            quantity=quantity,
            bag=bag,
            goes_to=goes_to,
            settled=settled,
            words=words,
        )
    )


def settle_with_bay(draft: Draft, part: str, quantity: int, place: Place) -> None:
    """What was lost and is found here is the piece that the workshop says it gave, if it says so.

    Then both books agree, and nobody has to say a second time that it came.
    """
    given = sum(one.quantity for one in pending(draft.desk, WORKSHOP, part))
    taken = min(given, quantity)
    bag = place.at if place.kind is PlaceKind.BAG else ""
    if taken:
        draft.effect(
            Borrowed(other=WORKSHOP, number=0, part=part, quantity=taken, bag=bag, settled=taken)
        )


def _settled(draft: Draft, act: Borrow, bag: Place) -> int:
    """A piece found in the bay is the one that was lost here, or missing, before it is another."""
    known = [
        held
        for held in draft.book.holdings()
        if held.quantity > 0
        and held.part == act.part
        and held.spot.place.kind in SETTLED_BY_WHAT_IS_FOUND
        and act.position in (None, held.spot.lot)
    ]
    known.sort(key=lambda one: (SETTLED_BY_WHAT_IS_FOUND.index(one.spot.place.kind), one.spot))
    drawn = draft.draw(known, act.quantity)
    for held in drawn:
        draft.carry(held, bag)
    return total(drawn)


def _let_in(draft: Draft, act: Borrow, other: OtherJob, bag: Place, quantity: int) -> None:
    """New in this book, or its own come home: in the condition in which the other gave them."""
    own = [one for one in loans(draft.desk) if (one.other, one.part) == (other.account, act.part)]
    for condition, pieces in _conditions(draft, act, other, quantity):
        while pieces:
            home = own.pop(0) if own else None
            taken = min(pieces, home.quantity) if home else pieces
            if home and home.quantity > taken:
                own.insert(0, replace(home, quantity=home.quantity - taken))
            pieces -= taken
            draft.gate_in(
                act.part,
                taken,
                bag,
                gate=Gate.OTHER_JOB,
                condition=condition,
                lot=home.lot if home else f"borrowed:{other.account}",
            )


def _conditions(
    draft: Draft, act: Borrow, other: OtherJob, quantity: int
) -> list[tuple[Condition, int]]:
    """How good the pieces are: as said here, else as the other book has it, else used."""
    if act.condition is not None:
        return [(act.condition, quantity)]
    found = []
    for gave in pending(draft.desk, other.account, act.part):
        taken = min(quantity, gave.quantity)
        quantity -= taken
        if taken:
            found.append((Condition(gave.condition), taken))
    return [*found, (Condition.USED, quantity)] if quantity else found


KINDS = (
    ActKind(
        kind="lend",
        group="between",
        request=Lend,
        function=lend,
        needs=frozenset({Needs.CAME_OFF, Needs.OTHER_JOB}),
        says="Lent to another job, from a bag or robbed straight from a position.",
        example={"bag": "7K3M-9HWZ", "part": "KF-1302", "to_job": "13"},
    ),
    ActKind(
        kind="borrow",
        group="between",
        request=Borrow,
        function=borrow,
        needs=frozenset({Needs.OTHER_JOB}),
        says="Borrowed from another job, given back by it, or taken in from the bay.",
        example={"bag": "7K3M-9HWZ", "part": "KF-1302", "from_job": "12"},
    ),
)
