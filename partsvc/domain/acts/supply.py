"""New parts: received, issued, exchanged one for one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.accepted_numbers import is_kit
from partsvc.domain.acts.arrivals import arrived, came_for
from partsvc.domain.acts.bags import from_bag
from partsvc.domain.acts.exchange_bag import exchange_bag
from partsvc.domain.acts.fields import BagCode, Lot, PartNumber, Pieces, SomePieces
from partsvc.domain.acts.handing_out import IssueFrom, hand_out
from partsvc.domain.acts.kinds import SUPPLY, ActKind, Needs, Role
from partsvc.domain.acts.kits import unpack
from partsvc.domain.acts.known import in_catalogue
from partsvc.domain.acts.whole_step import only_these
from partsvc.domain.desk import WORKSHOP, Draft, total
from partsvc.domain.lots import LotFacts
from partsvc.domain.places import STOCK, Condition, Gate
from partsvc.domain.records import Code, Day, Id, Line, Name, Says
from partsvc.errors import Invalid

Batch = Annotated[Name, Says("the maker's batch, as on the pack")]
UseBy = Annotated[Day, Says("the last day on which it is good")]


@dataclass(frozen=True, slots=True, kw_only=True)
class Receive:
    """New parts arrived in the store."""

    part: PartNumber
    quantity: Pieces
    reference: Annotated[Line | None, Says("delivery note or order number")] = None
    order: Annotated[Id | None, Says("the order line it came on")] = None
    batch: Batch | None = None
    use_by: UseBy | None = None
    job: Annotated[Id | None, Says("the job it came for; that of its order line if left out")] = (
        None
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Issue:
    """New parts handed out into a kit bag for this job; never refused for want of stock."""

    bag: BagCode
    part: PartNumber
    quantity: Pieces
    source: IssueFrom = IssueFrom.STOCK
    batch: Batch | None = None
    use_by: UseBy | None = None
    order: Annotated[Id | None, Says("the order line, if delivered straight for this job")] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Exchange:
    """One for one: the old pieces to the job's old-parts bag, new ones into the same bag."""

    bag: BagCode
    old_parts: Annotated[Code, Says("the tag of the job's old-parts bag")]
    part: Annotated[
        PartNumber | None, Says("all that is single-use or broken in the bag if left out")
    ] = None
    new_part: Annotated[Name | None, Says("if another number takes its place")] = None
    lot: Lot | None = None
    quantity: SomePieces | None = None
    source: IssueFrom = IssueFrom.STOCK


def receive(draft: Draft, act: Receive) -> None:
    """New parts arrive in the store."""
    in_catalogue(draft, act.part)
    job = came_for(draft, act.order, act.job)
    if LotFacts(use_by=act.use_by or "").is_past(draft.doing.day):
        draft.warn(f"Its use-by day, {act.use_by}, is past. Put it aside; it is not to be fitted.")
    arrived(
        draft,
        act.part,
        act.quantity,
        act.order,
        batch=act.batch,
        use_by=act.use_by,
        job=job,
        reference=act.reference,
    )
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
    target = draft.use_bag(act.bag, "kit")
    if act.order is not None:
        _delivered_here(draft, act)
    given = LotFacts(batch=act.batch or "", use_by=act.use_by or "")
    hand_out(draft, act.part, act.quantity, target, act.source, given)
    unpack(draft, act.part, target)


def _delivered_here(draft: Draft, act: Issue) -> None:
    if act.source is not IssueFrom.DELIVERED:
        raise Invalid(
            "An order line is named when the parts came straight for this job: `source` delivered. "
            "What came into the store was noted when it was received.",
            field="order",
        )
    if came_for(draft, act.order, None) != draft.desk.account:
        raise Invalid("This order line is another job's.", field="order")
    arrived(draft, act.part, act.quantity, act.order)


def exchange(draft: Draft, act: Exchange) -> None:
    """Old pieces to the old-parts bag, as many new ones into the bag they came from."""
    source = draft.use_bag(act.bag)
    old_parts = draft.use_bag(act.old_parts, "old-parts")
    if source == old_parts:
        raise Invalid("The old pieces go into another bag than the new ones.", field="old_parts")
    if act.part is None:
        only_these(act, "bag", "old_parts", "source", words="Name the `part` for that.")
        exchange_bag(draft, source, old_parts, act.source)
        return
    new_part = act.new_part or act.part
    in_catalogue(draft, new_part)
    if is_kit(draft.desk.parts[new_part]):
        raise Invalid(
            f"{new_part} is a kit, and no kit goes one for one. Issue the kit into a bag, and "
            "put the old pieces into the old-parts bag.",
            field="new_part",
        )
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
        needs=frozenset({Needs.ORDER_LINE}),
        says="New parts arrived in the store.",
        example={"part": "KF-1010", "quantity": 10, "reference": "delivery note 4711"},
    ),
    ActKind(
        kind="issue",
        group="parts",
        request=Issue,
        function=issue,
        needs=frozenset({Needs.SHELF, Needs.ORDER_LINE}),
        roles=SUPPLY,
        says="New parts handed out into a kit bag for this job.",
        example={"bag": "4TPA-VV4F", "part": "KF-1010", "quantity": 5},
    ),
    ActKind(
        kind="exchange",
        group="parts",
        request=Exchange,
        function=exchange,
        needs=frozenset({Needs.BAG_IN_STORE, Needs.SHELF}),
        roles=SUPPLY,
        says="One for one: old to the old-parts bag, new into the same bag.",
        example={"bag": "7K3M-9HWZ", "old_parts": "4TPA-VV4F", "part": "KF-1010"},
    ),
)
