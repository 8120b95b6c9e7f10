"""What people saw: inspections, second looks, searches, remarks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from partsvc.domain.acts.bags import from_bag
from partsvc.domain.acts.fields import BagCode, Lot, PartNumber, SomePieces, StepId, Where
from partsvc.domain.acts.inspect_step import inspect_step
from partsvc.domain.acts.kinds import ActKind, Needs
from partsvc.domain.acts.whole_step import only_these
from partsvc.domain.custody import meant
from partsvc.domain.desk import Draft, total
from partsvc.domain.effects import Confirmed, Inspected, Remarked, Searched
from partsvc.domain.ledger import Holding
from partsvc.domain.losses import losses
from partsvc.domain.places import Condition, loose, own_hole, secured
from partsvc.domain.plan import Position
from partsvc.domain.records import AtMost, Between, Id, Key, Line, Says, Words
from partsvc.errors import Invalid, NotFound


class Verdict(StrEnum):
    """How an inspection or an independent look ended."""

    PASS = "pass"
    FAIL = "fail"


class Defect(StrEnum):
    """What kind of damage was seen."""

    CRACKED = "cracked"
    STRIPPED_THREAD = "stripped-thread"
    CORRODED = "corroded"
    BENT = "bent"
    LEAKING = "leaking"
    CHAFED = "chafed"
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Search:
    """Vehicle and bay, or one place, were searched for tools, rags and pieces."""

    where: Annotated[Line, Says("vehicle, bay, or the place searched")]
    result: Annotated[Words, Says("what was found, or nothing")]
    vehicle: Annotated[bool, Says("the whole vehicle was searched")] = False
    bay: Annotated[bool, Says("the whole bay was searched")] = False
    loss: Annotated[Key | None, Says("the key of the act that reported the loss")] = None
    position: Annotated[Where | None, Says("searched for what is lost of this position")] = None
    lot: Annotated[Lot | None, Says("searched for lost pieces of this lot")] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Inspect:
    """A piece was looked at against its criterion; or all of a step that want a look."""

    part: Annotated[PartNumber | None, Says("needed unless a whole `step` is said")] = None
    step: Annotated[
        StepId | None, Says("all used pieces of the step that want a look; they pass")
    ] = None
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
    positions: Annotated[
        tuple[Id, ...], AtMost(100), Says("several positions, in one look round the vehicle")
    ] = ()
    result: Verdict = Verdict.PASS
    words: Annotated[Words | None, Says("what was seen; needed when it is not right")] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """A defect or something odd was seen."""

    words: Words
    step: StepId | None = None
    position: Where | None = None
    bag: BagCode | None = None
    defect: Annotated[Defect | None, Says("what kind of damage it is, if it is any")] = None


def search(draft: Draft, act: Search) -> None:
    """Somebody searched the vehicle, the bay or one place, and says what was found."""
    if act.position is not None:
        draft.position(act.position)
    named = act.loss or act.position or act.lot
    lost = list(losses(draft.desk))
    if act.loss is not None and not any(act.loss in one.acts for one in lost):
        raise NotFound("Nothing is lost by that act. Look at the reconciliation.", loss=act.loss)
    if lost and not named and not (act.vehicle or act.bay):
        draft.warn(
            "Something is lost on this job. If you searched for it, say so: name its `position`, "
            "or the `loss`."
        )
    draft.effect(
        Searched(
            where=act.where,
            result=act.result,
            vehicle=act.vehicle,
            bay=act.bay,
            loss=act.loss or "",
            position=act.position or "",
            lot=act.lot or "",
        )
    )


def inspect(draft: Draft, act: Inspect) -> None:
    """Pieces pass or fail their criterion; those that fail are damaged from now on."""
    if act.step is not None:
        only_these(act, "step", "result", "uses", "words", words="Name the `part` that failed.")
        if act.result is Verdict.FAIL:
            raise Invalid("Say which `part` failed, and where it is.", field="part")
        inspect_step(draft, draft.step_of(act.step), act.uses)
        return
    for held in _looked_at(draft, act):
        passed = act.result is Verdict.PASS
        draft.effect(
            Inspected(
                part=held.part,
                lot=held.spot.lot,
                quantity=held.quantity,
                passed=passed,
                uses=act.uses,
                place=str(held.spot.place),
            )
        )
        if not passed:
            draft.carry(held, held.spot.place, condition=Condition.DAMAGED)


def _looked_at(draft: Draft, act: Inspect) -> list[Holding]:
    if act.part is None:
        raise Invalid("Say which `part` was looked at, or which whole `step`.", field="part")
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
    # A plug in one's own lock box is looked at in the hand.
    box = meant(draft.book, draft.doing.by, part=act.part, position=position.id)
    there += [held for held in box if act.lot in (None, held.spot.lot)]
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
    _one_thing_named(act)
    if act.result is Verdict.FAIL and not act.words:
        raise Invalid("Say in `words` what is not right.", field="words")
    if act.step is not None:
        step = draft.step_of(act.step)
        _by_own_eyes(draft, step.positions)
        _seen(draft, act, step=step.id)
        return
    for name in dict.fromkeys(act.positions or (act.position or "",)):
        _by_own_eyes(draft, (draft.position(name),))
        _seen(draft, act, position=name)
    if len(act.positions) > 1:
        # It is about many places: none of them is the act's own step.
        draft.step, draft.about = "", {}


def _one_thing_named(act: Confirm) -> None:
    if sum((act.position is not None, act.step is not None, bool(act.positions))) != 1:
        raise Invalid(
            "Say what was looked at: a `position`, several `positions`, or a `step`.",
            field="position",
        )


def _by_own_eyes(draft: Draft, looked_at: Sequence[Position]) -> None:
    """Object to a look by whoever did the work, or told by somebody else where it is critical."""
    worked = frozenset[str]().union(*(draft.desk.worked_at.get(one.id, ()) for one in looked_at))
    if worked & draft.doing.people:
        draft.same_person(
            "Whoever fitted or secured this does not also confirm it: ask another person.",
            high_voltage=any(draft.desk.plan.home_step[one.id].high_voltage for one in looked_at),
        )
    critical = [one.where for one in looked_at if one.critical]
    if critical and draft.doing.by != draft.doing.recorded_by:
        draft.objection(
            "own-badge",
            f"{critical[0]} is critical: whoever looked records it signed in themselves, with "
            "their own badge.",
        )


def _seen(draft: Draft, act: Confirm, *, position: str = "", step: str = "") -> None:
    draft.effect(
        Confirmed(
            position=position,
            step=step,
            right=act.result is Verdict.PASS,
            words=act.words or "",
        )
    )


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
            defect=act.defect.value if act.defect else "",
            photos=" ".join(draft.doing.photos),
        )
    )


KINDS = (
    ActKind(
        kind="search",
        group="truth",
        request=Search,
        function=search,
        needs=frozenset({Needs.HISTORY}),
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
        example={
            "position": "HK-L2",
            "words": "bracket cracked at the lower hole",
            "defect": "cracked",
        },
    ),
)
