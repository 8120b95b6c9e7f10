"""New parts: received, issued, returned, exchanged one for one."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from partsvc.domain.acts.bags import from_bag
from partsvc.domain.acts.fields import BagCode, Lot, PartNumber, Pieces, SomePieces
from partsvc.domain.acts.kinds import SUPPLY, ActKind, Role
from partsvc.domain.acts.known import in_catalogue
from partsvc.domain.desk import WORKSHOP, Draft, total
from partsvc.domain.ledger import Spot
from partsvc.domain.places import STOCK, Condition, Gate, Place, outside
from partsvc.domain.records import Code, Line, Name, Says
from partsvc.errors import Invalid


class IssueFrom(StrEnum):
    """Where issued parts come from."""

    STOCK = "stock"
    BENCH = "bench"
    DELIVERED = "delivered"
    BOUGHT = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class Receive:
    """New parts arrived in the store."""

    part: PartNumber
    quantity: Pieces
    reference: Annotated[Line | None, Says("delivery note or order number")] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Issue:
    """New parts handed out into a kit bag for this job; never refused for want of stock."""

    bag: BagCode
    part: PartNumber
    quantity: Pieces
    source: IssueFrom = IssueFrom.STOCK


@dataclass(frozen=True, slots=True, kw_only=True)
class Return:
    """New parts not needed go back to the store."""

    bag: BagCode
    part: PartNumber
    quantity: SomePieces | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Exchange:
    """One for one: the old pieces to the job's old-parts bag, new ones into the same bag."""

    bag: BagCode
    old_parts: Annotated[Code, Says("the tag of the job's old-parts bag")]
    part: PartNumber
    new_part: Annotated[Name | None, Says("if another number takes its place")] = None
    lot: Lot | None = None
    quantity: SomePieces | None = None
    source: IssueFrom = IssueFrom.STOCK


def receive(draft: Draft, act: Receive) -> None:
    """New parts arrive in the store."""
    in_catalogue(draft, act.part)
    draft.gate_in(
        act.part,
        act.quantity,
        STOCK,
        gate=Gate.RECEIPT,
        condition=Condition.NEW,
        lot=draft.doing.key,
    )


def issue(draft: Draft, act: Issue) -> None:
    """New parts go into a kit bag; what the store's book lacks is received in the same act."""
    in_catalogue(draft, act.part)
    hand_out(draft, act.part, act.quantity, draft.use_bag(act.bag, "kit"), act.source)


def hand_out(draft: Draft, part: str, quantity: int, target: Place, source: IssueFrom) -> None:
    """New pieces into a bag, from the store or past it; the lot is this act."""
    into = Spot(draft.desk.account, target, Condition.NEW, draft.doing.key)
    if source is IssueFrom.STOCK:
        for held in draft.draw(draft.book.at(STOCK, part), quantity):
            draft.move(part, held.quantity, held.spot, into)
            quantity -= held.quantity
        if quantity:
            draft.warn(
                f"The store's book was {quantity} {draft.words_for(part)} short; the parts desk "
                "will see an unbooked receipt."
            )
            _past_the_book(draft, part, quantity, into)
    elif source is IssueFrom.DELIVERED:
        gate = Spot(draft.desk.account, outside(Gate.RECEIPT), Condition.NEW, draft.doing.key)
        draft.move(part, quantity, gate, into)
    else:
        _past_the_book(draft, part, quantity, into)


def _past_the_book(draft: Draft, part: str, quantity: int, into: Spot) -> None:
    """Stock nobody booked: into the store by an unbooked receipt, and straight out again."""
    lot = draft.doing.key
    gate = Spot(WORKSHOP, outside(Gate.UNBOOKED_RECEIPT), Condition.NEW, lot)
    shelf = Spot(WORKSHOP, STOCK, Condition.NEW, lot)
    draft.move(part, quantity, gate, shelf)
    draft.move(part, quantity, shelf, into)


def give_back(draft: Draft, act: Return) -> None:
    """New parts not needed return to the store; what was used stays out of it."""
    source = draft.use_bag(act.bag)
    unused = [
        held for held in draft.book.at(source, act.part) if held.spot.condition is Condition.NEW
    ]
    wanted = act.quantity or total(unused)
    if not unused or wanted > total(unused):
        raise draft.refusal(
            "not-new",
            f"By the book {total(unused)} new {draft.words_for(act.part)} are in this bag, not "
            f"{wanted}. Only unused new parts go back to the store; discard the others.",
            there=total(unused),
        )
    for held in draft.draw(unused, wanted):
        shelf = Spot(WORKSHOP, STOCK, Condition.NEW, held.spot.lot)
        draft.move(held.part, held.quantity, held.spot, shelf)


def exchange(draft: Draft, act: Exchange) -> None:
    """Old pieces to the old-parts bag, as many new ones into the bag they came from."""
    source = draft.use_bag(act.bag)
    old_parts = draft.use_bag(act.old_parts, "old-parts")
    if source == old_parts:
        raise Invalid("The old pieces go into another bag than the new ones.", field="old_parts")
    new_part = act.new_part or act.part
    in_catalogue(draft, new_part)
    old = from_bag(draft, source, part=act.part, lot=act.lot, quantity=act.quantity, old_only=True)
    for held in old:
        draft.carry(held, old_parts)
    hand_out(draft, new_part, total(old), source, act.source)


KINDS = (
    ActKind(
        kind="receive",
        group="parts",
        request=Receive,
        function=receive,
        roles=frozenset({Role.PARTS, Role.LEAD}),
        accounts=frozenset({WORKSHOP}),
        says="New parts arrived in the store.",
        example={"part": "KF-1010", "quantity": 10, "reference": "delivery note 4711"},
    ),
    ActKind(
        kind="issue",
        group="parts",
        request=Issue,
        function=issue,
        roles=SUPPLY,
        says="New parts handed out into a kit bag for this job.",
        example={"bag": "4TPA-VV4F", "part": "KF-1010", "quantity": 5},
    ),
    ActKind(
        kind="return",
        group="parts",
        request=Return,
        function=give_back,
        roles=SUPPLY,
        says="New parts not needed go back to the store.",
        example={"bag": "4TPA-VV4F", "part": "KF-1010"},
    ),
    ActKind(
        kind="exchange",
        group="parts",
        request=Exchange,
        function=exchange,
        roles=SUPPLY,
        says="One for one: old to the old-parts bag, new into the same bag.",
        example={"bag": "7K3M-9HWZ", "old_parts": "4TPA-VV4F", "part": "KF-1010"},
    ),
)
