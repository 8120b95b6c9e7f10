"""Putting back: fitted, then secured."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.custody import not_anothers
from partsvc.domain.acts.fields import Sets, SomePart, SomePieces, StepId, Value, Where
from partsvc.domain.acts.kinds import HANDS, ActKind, Needs
from partsvc.domain.acts.known import heard_of
from partsvc.domain.acts.loose_pieces import loose_ones, one_way_to_count
from partsvc.domain.acts.right_piece import covered, is_right, names_of, pieces_for
from partsvc.domain.acts.secure_step import secure_step
from partsvc.domain.acts.securing import bring_to_stage, may_go_back_on, recorded_enough
from partsvc.domain.acts.whole_step import fit_step, only_these, places_named
from partsvc.domain.applications import tick_with_step
from partsvc.domain.desk import Draft, spent
from partsvc.domain.gates import may_refit
from partsvc.domain.parts import SpentAt
from partsvc.domain.places import Place, loose, own_hole, secured, with_person
from partsvc.domain.plan import Phase, Position, StackItem
from partsvc.domain.progress import not_in_place, too_many
from partsvc.domain.records import AtMost, Code, Id, Line, Says
from partsvc.errors import Invalid

FromPerson = Annotated[
    Id,
    Says("out of this person's lock box; without a bag, what you hold yourself is taken"),
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """Put back in position and hand-started, not yet secured."""

    position: Where | None = None
    step: Annotated[StepId | None, Says("the whole step as planned, all that is off")] = None
    bag: Annotated[
        Code | None,
        Says("the bag it comes from; own hole if left out, for a step wherever its pieces lie"),
    ] = None
    sets: Sets | None = None
    part: SomePart | None = None
    quantity: SomePieces | None = None
    from_person: FromPerson | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Secure:
    """Tightened to a stage, clipped home, locked; with `bag`, fitted in the same scan."""

    position: Where | None = None
    step: Annotated[
        StepId | None, Says("the whole step as planned, from wherever its pieces lie")
    ] = None
    bag: Annotated[Code | None, Says("fit from this bag first, in one scan")] = None
    sets: Sets | None = None
    part: SomePart | None = None
    quantity: SomePieces | None = None
    stage: Annotated[Id | None, Says("one stage only; all stages if left out")] = None
    tool: Annotated[Line | None, Says("the tool's number")] = None
    setting: Annotated[Line | None, Says("what the tool was set to, once for all")] = None
    values: Annotated[tuple[Value, ...], AtMost(100), Says("readings taken")] = ()
    applied: Annotated[bool, Says("all that the step asks for was applied, too")] = False
    from_person: FromPerson | None = None


def fit(draft: Draft, act: Fit) -> None:
    """Pieces go back into their position, hand-started; or those of a whole step."""
    if act.step is not None:
        only_these(act, "step", "bag")
        step = draft.step_of(act.step)
        fit_step(draft, step, places_named(draft, act.bag))
        return
    position = _named(draft, act.position)
    may_refit(draft, draft.desk.plan.home_step[position.id])
    _put_in(draft, position, act)


def secure(draft: Draft, act: Secure) -> None:
    """Pieces are secured: one stage, or all at once; with a bag, fitted in the same scan."""
    if act.step is not None:
        _whole_step(draft, act, act.step)
        return
    position = _named(draft, act.position)
    may_refit(draft, draft.desk.plan.home_step[position.id])
    recorded_enough(draft, position, tool=act.tool, setting=act.setting, values=act.values)
    if act.bag is not None or act.from_person is not None or _from_hand(draft, position):
        as_fit = Fit(
            position=act.position,
            bag=act.bag,
            sets=act.sets,
            part=act.part,
            quantity=act.quantity,
            from_person=act.from_person,
        )
        put = _put_in(draft, position, as_fit)
        secured_now = list(put.items())
    else:
        secured_now = loose_ones(draft, position, act)
    for part, quantity in secured_now:
        may_go_back_on(draft, position, part, quantity)
        bring_to_stage(draft, position, part, quantity, act.stage, _how(act))
    if act.applied:
        tick_with_step(draft, draft.desk.plan.home_step[position.id], Phase.REFIT)


def _whole_step(draft: Draft, act: Secure, step_id: str) -> None:
    only_these(act, "step", "bag", "stage", "tool", "setting", "values")
    secure_step(
        draft,
        draft.step_of(step_id),
        places_named(draft, act.bag),
        tool=act.tool or "",
        setting=act.setting or "",
        values=act.values,
        stage=act.stage,
    )


def _named(draft: Draft, position: str | None) -> Position:
    if position is None:
        raise Invalid(
            "Say which `position` it goes back to, or `step` for the whole step as planned.",
            field="position",
        )
    return draft.position(position)


def _how(act: Secure) -> dict[str, str]:
    readings = ", ".join(f"{one.name} {one.value} {one.unit or ''}".strip() for one in act.values)
    return {"tool": act.tool or "", "setting": act.setting or "", "readings": readings}


def _put_in(draft: Draft, position: Position, act: Fit) -> dict[str, int]:
    """Move pieces from the bag (or their own hole) into the position; answers how many of each."""
    source = _source(draft, position, act)
    put: dict[str, int] = {}
    for item in _asked(draft, position, act, source):
        wanted = _how_many(draft, position, act, item, source)
        if put and wanted <= item.along_with(put):
            continue
        wanted -= item.along_with(put)
        for held in pieces_for(draft, position, item, source, wanted, part=act.part):
            part = draft.desk.parts.get(held.part)
            condition = spent(held.spot.condition, part, SpentAt.FIT)
            draft.carry(held, loose(position.id), condition=condition)
            put[held.part] = put.get(held.part, 0) + held.quantity
    _too_many(draft, position)
    return put


def _source(draft: Draft, position: Position, act: Fit) -> Place:
    """Where the pieces come from: a bag, somebody's box, their own hole, or one's own box."""
    if act.bag is not None and act.from_person is not None:
        raise Invalid(
            "Say where it comes from: a `bag` or the box of `from_person`.", field="from_person"
        )
    if act.bag is not None:
        return draft.use_bag(act.bag)
    if act.from_person is not None:
        not_anothers(draft, act.from_person)
        return with_person(act.from_person)
    home = own_hole(position.id)
    return home if draft.book.at(home) else _box_of_the_doer(draft, position) or home


def _box_of_the_doer(draft: Draft, position: Position) -> Place | None:
    """The box of whoever does it, if anything for this position is in it."""
    box = with_person(draft.doing.by)
    here = any(draft.book.among(box, item.numbers) for item in position.stack)
    return box if here else None


def _from_hand(draft: Draft, position: Position) -> bool:
    """Whether what is secured without a word of where from can only come out of one's own box."""
    in_place = draft.book.at(loose(position.id)) or draft.book.at(own_hole(position.id))
    return not in_place and _box_of_the_doer(draft, position) is not None


def _asked(draft: Draft, position: Position, act: Fit, source: Place) -> list[StackItem]:
    """The stack lines that are fitted from this bag: those it holds, unless a part is named."""
    if act.part is not None:
        heard_of(draft, act.part)
        return [position.item(act.part) or _stranger(draft, position, act.part)]
    one_way_to_count(act, len(position.stack))
    held = draft.book.numbers(source)
    inside = [item for item in position.stack if any(one in held for one in item.numbers)]
    # What fills two lines fills the one it is planned for first, and brings along what it does.
    inside.sort(key=lambda item: (item.rides, item.part not in held))
    if act.sets is not None:
        return inside or [position.stack[0]]
    wanted = [item for item in position.stack if _room(draft, position, item)]
    both = [item for item in inside if item in wanted]
    return both or inside or wanted[:1] or [position.stack[0]]


def _stranger(draft: Draft, position: Position, part: str) -> StackItem:
    """A part that does not belong there, named by whoever puts it in: refused, or marked."""
    belongs = " and ".join(names_of(draft, item) for item in position.stack)
    draft.objection(
        "wrong-part",
        f"{draft.words_for(part)} does not belong at {position.where}; {belongs} does. Fit that; "
        "or correct the plan if this vehicle takes the other.",
    )
    return StackItem(part=part)


def _how_many(draft: Draft, position: Position, act: Fit, item: StackItem, source: Place) -> int:
    """How many planned pieces of a line are meant: so many, or what is wanted and there."""
    in_bag = draft.book.among(source, item.meant_by(act.part or item.part))
    if act.quantity is not None:
        named = in_bag[0].part if in_bag else act.part or item.part
        return act.quantity * (item.covered_by(named) or 1)
    if act.sets is not None:
        return act.sets * item.per_set
    wanted = _room(draft, position, item)
    right = covered(item, (held for held in in_bag if is_right(held, item)))
    return max(1, min(wanted, right or covered(item, in_bag) or wanted))


def _room(draft: Draft, position: Position, item: StackItem) -> int:
    """How many pieces of a stack line are not in place yet, or of a wrong part in its stead."""
    if item in position.stack:
        return not_in_place(position, draft.book)[item.part]
    in_place = draft.book.numbers(secured(position.id), loose(position.id))
    return max(0, position.sets - in_place.get(item.part, 0))


def _too_many(draft: Draft, position: Position) -> None:
    """More pieces in a position than belong there: true perhaps, and surely worth a word."""
    over = too_many(position, draft.book)
    for item in position.stack:
        planned = position.sets * item.per_set
        if over[item.part]:
            draft.objection(
                "more-than-belong",
                f"{planned} {draft.words_for(item.part)} belong at {position.where}, this would "
                f"make {planned + over[item.part]}. Count again; or correct the plan if more "
                "belong there.",
            )


KINDS = (
    ActKind(
        kind="fit",
        group="refit",
        request=Fit,
        function=fit,
        needs=frozenset({Needs.BOARDS, Needs.HISTORY}),
        roles=HANDS,
        says="Put back in position, hand-started.",
        example={"position": "PB-L1", "bag": "4TPA-VV4F"},
    ),
    ActKind(
        kind="secure",
        group="refit",
        request=Secure,
        function=secure,
        needs=frozenset({Needs.BOARDS, Needs.HISTORY}),
        roles=HANDS,
        says="Tightened, clipped home, locked; with `bag`, fitted in the same scan.",
        example={"position": "FS-01", "bag": "7K3M-9HWZ"},
    ),
)
