"""Putting back: fitted, then secured."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.fields import Sets, SomePart, SomePieces, Value, Where
from partsvc.domain.acts.kinds import HANDS, ActKind, Needs
from partsvc.domain.acts.known import heard_of
from partsvc.domain.acts.right_piece import is_right, pieces_for
from partsvc.domain.acts.securing import bring_to_stage, may_go_back_on, recorded_enough
from partsvc.domain.desk import Draft, spent, total
from partsvc.domain.gates import may_refit
from partsvc.domain.ledger import Holding
from partsvc.domain.parts import SpentAt
from partsvc.domain.places import Condition, Gate, Place, bag, loose, own_hole
from partsvc.domain.plan import Position, StackItem
from partsvc.domain.records import AtMost, Code, Id, Line, Says
from partsvc.errors import Invalid


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """Put back in position and hand-started, not yet secured."""

    position: Where
    bag: Annotated[Code | None, Says("the bag it comes from; own hole if left out")] = None
    sets: Sets | None = None
    part: SomePart | None = None
    quantity: SomePieces | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Secure:
    """Tightened to a stage, clipped home, locked; with `bag`, fitted in the same scan."""

    position: Where
    bag: Annotated[Code | None, Says("fit from this bag first, in one scan")] = None
    sets: Sets | None = None
    part: SomePart | None = None
    quantity: SomePieces | None = None
    stage: Annotated[Id | None, Says("one stage only; all stages if left out")] = None
    tool: Annotated[Line | None, Says("the tool's number")] = None
    setting: Annotated[Line | None, Says("what the tool was set to, once for all")] = None
    values: Annotated[tuple[Value, ...], AtMost(100), Says("readings taken")] = ()


def fit(draft: Draft, act: Fit) -> None:
    """Pieces go back into their position, hand-started."""
    position = draft.position(act.position)
    may_refit(draft, draft.desk.plan.home_step[position.id])
    _put_in(draft, position, act)


def secure(draft: Draft, act: Secure) -> None:
    """Pieces are secured: one stage, or all at once; with a bag, fitted in the same scan."""
    position = draft.position(act.position)
    may_refit(draft, draft.desk.plan.home_step[position.id])
    recorded_enough(draft, position, tool=act.tool, setting=act.setting, values=act.values)
    if act.bag is not None:
        as_fit = Fit(
            position=act.position,
            bag=act.bag,
            sets=act.sets,
            part=act.part,
            quantity=act.quantity,
        )
        put = _put_in(draft, position, as_fit)
        secured_now = list(put.items())
    else:
        secured_now = _loose_ones(draft, position, act)
    for part, quantity in secured_now:
        may_go_back_on(draft, position, part, quantity)
        bring_to_stage(draft, position, part, quantity, act.stage, _how(act))


def _how(act: Secure) -> dict[str, str]:
    readings = ", ".join(f"{one.name} {one.value} {one.unit or ''}".strip() for one in act.values)
    return {"tool": act.tool or "", "setting": act.setting or "", "readings": readings}


def _loose_ones(draft: Draft, position: Position, act: Secure) -> list[tuple[str, int]]:
    """What of a position is to be secured now: all that lies loose there, or so much."""
    parts = sorted({held.part for held in draft.book.at(loose(position.id))})
    if act.part is not None:
        heard_of(draft, act.part)
        parts = [act.part]
    _one_way_to_count(act, len(parts))
    found = []
    for part in parts:
        item = position.item(part)
        there = draft.book.count(loose(position.id), part)
        asked = act.quantity or (act.sets * (item.per_set if item else 1) if act.sets else there)
        if asked > there:
            _more_than_loose(draft, position, part, asked=asked, there=there)
        found.append((part, asked))
    if not any(quantity for _, quantity in found):
        raise draft.refusal(
            "nothing-there",
            f"By the book nothing lies loose at {position.where}. Fit it first: scan the bag it "
            "comes from.",
        )
    return [(part, quantity) for part, quantity in found if quantity]


def _more_than_loose(
    draft: Draft, position: Position, part: str, *, asked: int, there: int
) -> None:
    draft.objection(
        "more-than-are-there",
        f"{position.where}: {there} {draft.words_for(part)} are in place and loose, not {asked}. "
        "Scan the bag the others come from; or secure what is there.",
        there=there,
    )
    draft.gate_in(
        part,
        asked - there,
        loose(position.id),
        gate=Gate.ADDITION,
        condition=Condition.USED,
        lot=position.id,
    )


def _put_in(draft: Draft, position: Position, act: Fit) -> dict[str, int]:
    """Move pieces from the bag (or their own hole) into the position; answers how many of each."""
    source = draft.use_bag(act.bag) if act.bag else own_hole(position.id)
    put: dict[str, int] = {}
    for item in _asked(draft, position, act):
        wanted = _how_many(draft, position, act, item, source)
        for held in pieces_for(draft, position, item, source, wanted):
            part = draft.desk.parts.get(held.part)
            condition = spent(held.spot.condition, part, SpentAt.FIT)
            draft.carry(held, loose(position.id), condition=condition)
            put[held.part] = put.get(held.part, 0) + held.quantity
    _too_many(draft, position)
    return put


def _asked(draft: Draft, position: Position, act: Fit) -> list[StackItem]:
    """The stack lines that are fitted from this bag: those it holds, unless a part is named."""
    if act.part is not None:
        heard_of(draft, act.part)
        return [position.item(act.part) or _stranger(draft, position, act.part)]
    _one_way_to_count(act, len(position.stack))
    source = bag(act.bag) if act.bag else own_hole(position.id)
    held = {one.part for one in draft.book.at(source)}
    inside = [item for item in position.stack if item.part in held]
    if act.sets is not None:
        return inside or [position.stack[0]]
    wanted = [item for item in position.stack if _room(draft, position, item)]
    both = [item for item in inside if item in wanted]
    return both or inside or wanted[:1] or [position.stack[0]]


def _one_way_to_count(act: Fit | Secure, parts: int) -> None:
    if act.quantity is not None and act.sets is not None:
        raise Invalid("Say how many in `sets` or in `quantity`, not in both.", field="quantity")
    if act.quantity is not None and act.part is None and parts > 1:
        raise Invalid(
            "A set has several parts here: say `part`, or count in `sets`.", field="quantity"
        )


def _stranger(draft: Draft, position: Position, part: str) -> StackItem:
    """A part that does not belong there, named by whoever puts it in: refused, or marked."""
    belongs = " and ".join(draft.words_for(item.part) for item in position.stack)
    draft.objection(
        "wrong-part",
        f"{draft.words_for(part)} does not belong at {position.where}; {belongs} does. Fit that; "
        "or correct the plan if this vehicle takes the other.",
    )
    return StackItem(part=part)


def _how_many(draft: Draft, position: Position, act: Fit, item: StackItem, source: Place) -> int:
    """How many pieces of a stack line are meant: so many, or what is wanted and there."""
    if act.quantity is not None:
        return act.quantity
    if act.sets is not None:
        return act.sets * item.per_set
    wanted = _room(draft, position, item)
    in_bag = draft.book.at(source, item.part)
    right = total(held for held in in_bag if is_right(held, item))
    return max(1, min(wanted, right or total(in_bag) or wanted))


def _room(draft: Draft, position: Position, item: StackItem) -> int:
    """How many pieces of a stack line are not in place yet."""
    there = draft.book.count(loose(position.id), item.part)
    there += total(draft.secured_at(position.id, item.part))
    return max(0, position.sets * item.per_set - there)


def _too_many(draft: Draft, position: Position) -> None:
    """More pieces in a position than belong there: true perhaps, and surely worth a word."""
    for item in position.stack:
        there: list[Holding] = [*draft.secured_at(position.id, item.part)]
        there += draft.book.at(loose(position.id), item.part)
        planned = position.sets * item.per_set
        if total(there) > planned:
            draft.objection(
                "more-than-belong",
                f"{planned} {draft.words_for(item.part)} belong at {position.where}, this would "
                f"make {total(there)}. Count again; or correct the plan if more belong there.",
            )


KINDS = (
    ActKind(
        kind="fit",
        group="refit",
        request=Fit,
        function=fit,
        needs=frozenset({Needs.HISTORY}),
        roles=HANDS,
        says="Put back in position, hand-started.",
        example={"position": "PB-L1", "bag": "4TPA-VV4F"},
    ),
    ActKind(
        kind="secure",
        group="refit",
        request=Secure,
        function=secure,
        needs=frozenset({Needs.HISTORY}),
        roles=HANDS,
        says="Tightened, clipped home, locked; with `bag`, fitted in the same scan.",
        example={"position": "FS-01", "bag": "7K3M-9HWZ"},
    ),
)
