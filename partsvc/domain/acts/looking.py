"""What people saw: inspections, second looks, searches, remarks."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from partsvc.domain.acts.bags import from_bag
from partsvc.domain.acts.fields import BagCode, Lot, PartNumber, SomePieces, StepId, Where
from partsvc.domain.acts.kinds import ActKind, Needs
from partsvc.domain.desk import Draft, total
from partsvc.domain.effects import Confirmed, Inspected, Remarked, Searched
from partsvc.domain.ledger import Holding
from partsvc.domain.places import Condition, loose, own_hole, secured
from partsvc.domain.plan import Position
from partsvc.domain.records import Between, Line, Says, Words
from partsvc.errors import Invalid


class Verdict(StrEnum):
    """How an inspection or an independent look ended."""

    PASS = "pass"
    FAIL = "fail"


@dataclass(frozen=True, slots=True, kw_only=True)
class Search:
    """Vehicle and bay, or one place, were searched for tools, rags and pieces."""

    where: Annotated[Line, Says("vehicle, bay, or the place searched")]
    result: Annotated[Words, Says("what was found, or nothing")]
    vehicle: Annotated[bool, Says("the whole vehicle was searched")] = False
    bay: Annotated[bool, Says("the whole bay was searched")] = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Inspect:
    """A piece was looked at against its criterion."""

    part: PartNumber
    bag: BagCode | None = None
    position: Where | None = None
    lot: Lot | None = None
    quantity: SomePieces | None = None
    result: Verdict
    uses: Annotated[int | None, Between(0, 100), Says("marks on the head: uses so far")] = None
    words: Words | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Confirm:
    """A second person looked for themselves."""

    position: Where | None = None
    step: StepId | None = None
    result: Verdict = Verdict.PASS
    words: Annotated[Words | None, Says("what was seen; needed when it is not right")] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """A defect or something odd was seen."""

    words: Words
    step: StepId | None = None
    position: Where | None = None
    bag: BagCode | None = None


def search(draft: Draft, act: Search) -> None:
    """Somebody searched the vehicle, the bay or one place, and says what was found."""
    draft.effect(Searched(where=act.where, result=act.result, vehicle=act.vehicle, bay=act.bay))


def inspect(draft: Draft, act: Inspect) -> None:
    """Pieces pass or fail their criterion; those that fail are damaged from now on."""
    for held in _looked_at(draft, act):
        passed = act.result is Verdict.PASS
        draft.effect(
            Inspected(
                part=held.part,
                lot=held.spot.lot,
                quantity=held.quantity,
                passed=passed,
                uses=act.uses,
            )
        )
        if not passed:
            draft.carry(held, held.spot.place, condition=Condition.DAMAGED)


def _looked_at(draft: Draft, act: Inspect) -> list[Holding]:
    if (act.bag is None) == (act.position is None):
        raise Invalid("Say where the pieces are: in a `bag` or at a `position`.", field="bag")
    if act.bag is not None:
        place = draft.use_bag(act.bag)
        return from_bag(draft, place, part=act.part, lot=act.lot, quantity=act.quantity)
    position = draft.position(act.position or "")
    there = [
        held
        for place in (loose(position.id), own_hole(position.id), secured(position.id))
        for held in draft.book.at(place, act.part)
        if act.lot in (None, held.spot.lot)
    ]
    wanted = act.quantity or total(there)
    if not there or wanted > total(there):
        raise draft.refusal(
            "more-than-are-there",
            f"By the book {total(there)} {draft.words_for(act.part)} are at {position.where}.",
            there=total(there),
        )
    return draft.draw(there, wanted)


def confirm(draft: Draft, act: Confirm) -> None:
    """A second person looked for themselves; what is not right becomes a finding."""
    if (act.position is None) == (act.step is None):
        raise Invalid("Say what was looked at: a `position` or a `step`.", field="position")
    if act.position is not None:
        draft.position(act.position)
    else:
        draft.step_of(act.step or "")
    if act.result is Verdict.FAIL and not act.words:
        raise Invalid("Say in `words` what is not right.", field="words")
    looked_at = [act.position] if act.position else [one.id for one in _positions(draft, act)]
    worked = frozenset[str]().union(*(draft.desk.worked_at.get(one, ()) for one in looked_at))
    if worked & {draft.doing.by, draft.doing.recorded_by}:
        draft.objection(
            "same-person",
            "Whoever fitted or secured this does not also confirm it: ask another person.",
        )
    draft.effect(
        Confirmed(
            position=act.position or "",
            step=act.step or "",
            right=act.result is Verdict.PASS,
            words=act.words or "",
        )
    )


def _positions(draft: Draft, act: Confirm) -> tuple[Position, ...]:
    return draft.step_of(act.step or "").positions


def remark(draft: Draft, act: Remark) -> None:
    """Something odd was seen; it stays open until quality or the lead takes it as it is."""
    if act.position is not None:
        draft.position(act.position)
    elif act.step is not None:
        draft.step_of(act.step)
    if act.bag is not None:
        draft.use_bag(act.bag)
    draft.effect(
        Remarked(
            words=act.words,
            step=act.step or "",
            position=act.position or "",
            bag=act.bag or "",
        )
    )


KINDS = (
    ActKind(
        kind="search",
        group="truth",
        request=Search,
        function=search,
        says="Vehicle, bay or one place searched for tools, rags and pieces.",
        example={"where": "vehicle and bay 4", "result": "nothing", "vehicle": True, "bay": True},
    ),
    ActKind(
        kind="inspect",
        group="truth",
        request=Inspect,
        function=inspect,
        says="A piece was looked at against its criterion.",
        example={"part": "KF-1230", "bag": "7K3M-9HWZ", "result": "pass"},
    ),
    ActKind(
        kind="confirm",
        group="truth",
        request=Confirm,
        function=confirm,
        needs=frozenset({Needs.WORKED_AT}),
        says="A second person looked for themselves.",
        example={"position": "HC-01", "result": "pass"},
    ),
    ActKind(
        kind="remark",
        group="truth",
        request=Remark,
        function=remark,
        says="A defect or something odd was seen.",
        example={"position": "HK-L2", "words": "bracket cracked at the lower hole"},
    ),
)
