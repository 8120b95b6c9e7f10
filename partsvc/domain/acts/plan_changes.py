"""The plan put right by what was found on this vehicle."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Annotated

from partsvc.domain.acts.bay import Placing, give, given_to, place_bay_stray
from partsvc.domain.acts.fields import NewPosition, PartNumber, Where, Why
from partsvc.domain.acts.kinds import JOB, WORKSHOP, ActKind, Needs
from partsvc.domain.acts.known import in_catalogue
from partsvc.domain.acts.numbers import accept_number, refuse_number
from partsvc.domain.acts.planning import add_position
from partsvc.domain.acts.repairs import repair
from partsvc.domain.desk import Draft, shown_bag, total
from partsvc.domain.effects import PositionCorrected
from partsvc.domain.job_plan import corrected
from partsvc.domain.ledger import Holding
from partsvc.domain.order_list import successor
from partsvc.domain.parts import Rule, is_stray, is_unnamed
from partsvc.domain.places import Condition, Gate, PlaceKind, loose, outside, secured
from partsvc.domain.plan import Position, StackItem
from partsvc.domain.records import Id, Key, Line, Name, Quantity, Says
from partsvc.errors import Invalid, NotFound

ELSEWHERE = (PlaceKind.LOST, PlaceKind.MISSING, PlaceKind.BAG)


@dataclass(frozen=True, slots=True, kw_only=True)
class Correct:
    """The plan of this job is put right: what really belongs here on this vehicle."""

    reason: Why
    position: Where | None = None
    part: Annotated[Name | None, Says("the part of the stack that is corrected")] = None
    becomes: Annotated[Name | None, Says("the part it really is")] = None
    sets: Annotated[Quantity | None, Says("how many sets really belong here")] = None
    rule: Rule | None = None
    add: NewPosition | None = None
    accepts: Annotated[
        Name | None, Says("another number that may stand for `part` here; give its `source`")
    ] = None
    source: Annotated[Line | None, Says("who says so: bulletin, maker's catalogue, letter")] = None
    refuses: Annotated[Name | None, Says("an accepted number that is not taken here after all")] = (
        None
    )
    repaired: Annotated[
        Line | None, Says("what was repaired there, as `thread insert M6 fitted`")
    ] = None
    settles: Annotated[Key | None, Says("key of the remark that this repair closes")] = None


class IsA(StrEnum):
    """How the question of a stray or unnamed piece ended."""

    PIECE_OF_THE_BOOK = "piece-of-the-book"
    ONE_MORE = "one-more"
    NOT_OF_THIS_JOB = "not-of-this-job"
    OF_A_JOB = "of-job"
    STORES_OWN = "stores-own"
    NOT_KNOWN = "not-known"


NOT_OURS = (IsA.NOT_OF_THIS_JOB, IsA.OF_A_JOB, IsA.STORES_OWN, IsA.NOT_KNOWN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Identify:
    """An unknown piece becomes a part with a number, or turns out not to be of this job."""

    what: Annotated[Id, Says("the stray or unnamed part, as the book calls it")]
    is_a: IsA = IsA.PIECE_OF_THE_BOOK
    part: PartNumber | None = None
    position: Annotated[Id | None, Says("the position it is missing from")] = None
    rule: Rule | None = None
    of_job: Annotated[Id | None, Says("the job it is of, by id or number")] = None
    reason: Annotated[Why | None, Says("who was asked, what was compared")] = None


def correct(draft: Draft, act: Correct) -> None:
    """What really belongs at a position of this vehicle; the difference passes the gate."""
    if act.settles is not None and act.repaired is None:
        raise Invalid("Say in `repaired` what was done about it.", field="repaired")
    if act.add is not None and act.repaired is None:
        add_position(draft, act.add)
        return
    if act.position is None or act.add is not None:
        raise Invalid("Say which `position` to correct, or what to `add`.", field="position")
    position = draft.position(act.position)
    if act.repaired is not None:
        repair(draft, position, act.repaired, act.settles)
    _other_numbers(draft, position, act)
    if _says_no_more(act):
        return
    _not_made_laxer(draft, position, act)
    change = PositionCorrected(
        position=position.id,
        part=_corrected_part(position, act),
        becomes=act.becomes or "",
        sets=act.sets,
        rule=act.rule.value if act.rule else "",
    )
    if act.becomes is not None:
        in_catalogue(draft, act.becomes)
        not_twice(position, change.part, act.becomes)
        # After a repair another piece goes in; what came off is still what it was.
        if act.repaired is None and not _is_replaced_by(draft, position, change.part, act.becomes):
            rename(draft, change.part, act.becomes, lot=position.id)
            change = replace(change, renames=True)
    if act.sets is not None:
        resize(draft, position, corrected(position, change))
    draft.effect(change)


def _other_numbers(draft: Draft, position: Position, act: Correct) -> None:
    if act.accepts is not None:
        accept_number(draft, position, act.part, act.accepts, act.source)
    if act.refuses is not None:
        refuse_number(draft, position, act.part, act.refuses, act.reason)


def _says_no_more(act: Correct) -> bool:
    """Whether a repair or another number was all there was to say."""
    said = (act.repaired, act.accepts, act.refuses) != (None, None, None)
    return said and (act.becomes, act.sets, act.rule) == (None, None, None)


STRICTEST_FIRST = (Rule.REPLACE, Rule.LIMITED, Rule.INSPECT, Rule.REUSE)
MAY_RELAX = frozenset({"quality", "lead"})


def _not_made_laxer(draft: Draft, position: Position, act: Correct) -> None:
    """Object when somebody makes a piece reusable who is not there to judge that."""
    if act.rule is None or draft.doing.roles & MAY_RELAX:
        return
    stricter = [
        item
        for item in position.stack
        if (act.part is None or act.part in item.numbers)
        and STRICTEST_FIRST.index(item.rule) < STRICTEST_FIRST.index(act.rule)
    ]
    if stricter:
        draft.objection(
            "rule-relaxed",
            f"{draft.words_for(stricter[0].part)} at {position.where} stands under the stricter "
            f"rule “{stricter[0].rule}”. Have quality or the lead correct it.",
        )


def _corrected_part(position: Position, act: Correct) -> str:
    if act.becomes is None and act.rule is None:
        if act.sets is None:
            raise Invalid(
                "Say what is to be corrected: `becomes`, `sets` or `rule`.", field="becomes"
            )
        return ""
    if act.part is None and len(position.stack) > 1:
        raise Invalid("Several parts belong here: say which `part` is corrected.", field="part")
    part = act.part or position.stack[0].part
    item = position.item(part)
    if item is None:
        raise Invalid(f"{part} does not belong at {position.where}.", field="part")
    return item.part


def not_twice(position: Position, old: str, new: str) -> None:
    """A part stands in a stack once: two lines of it could not be told apart by anybody."""
    if new != old and any(item.part == new for item in position.stack):
        raise Invalid(
            f"{new} belongs at {position.where} already, beside {old}. Say which part it is "
            "instead.",
            field="becomes",
        )


def _is_replaced_by(draft: Draft, position: Position, old: str, new: str) -> bool:
    """Whether the old pieces are all off and the new number is what one gets in their stead.

    The pieces that came off then keep their number: they were never the new part.
    """
    in_place = (*draft.secured_at(position.id, old), *draft.book.at(loose(position.id), old))
    return not in_place and new == successor(old, draft.desk.parts)


def rename(draft: Draft, old: str, new: str, *, lot: str) -> None:
    """Pieces booked under one number stand under another from now on, wherever they are."""
    for held in list(draft.book.holdings()):
        if held.quantity > 0 and held.part == old and held.spot.lot == lot:
            _swap(draft, held, new, gate=Gate.PLAN_CORRECTION)


def _swap(draft: Draft, held: Holding, new: str, *, gate: Gate) -> None:
    gate_spot = replace(held.spot, place=outside(gate))
    draft.move(held.part, held.quantity, held.spot, gate_spot)
    draft.move(new, held.quantity, gate_spot, held.spot)


def resize(draft: Draft, old: Position, new: Position) -> None:
    """More sets were always there, or fewer; pieces already off cannot be corrected away."""
    for item in new.stack:
        more = (new.sets - old.sets) * item.per_set
        if more > 0:
            draft.gate_in(
                item.part,
                more,
                secured(new.id),
                gate=Gate.PLAN_CORRECTION,
                condition=Condition.USED,
                lot=new.id,
            )
        if more < 0:
            _fewer(draft, new, item, -more)


def _fewer(draft: Draft, position: Position, item: StackItem, quantity: int) -> None:
    there = list(draft.book.among(secured(position.id), item.numbers))
    if total(there) < quantity:
        raise draft.refusal(
            "already-off",
            f"{position.where}: only {total(there)} {draft.words_for(item.part)} are still in "
            "place; pieces that came off cannot be corrected away. Reverse their removal first.",
            there=total(there),
        )
    for held in draft.draw(there, quantity):
        draft.gate_out(held, gate=Gate.PLAN_CORRECTION)


def identify(draft: Draft, act: Identify) -> None:
    """A stray or unnamed piece gets its number, or turns out to be of another job."""
    if draft.desk.account == WORKSHOP:
        said = Placing(
            what=act.what, is_a=act.is_a.value, part=act.part, of_job=act.of_job, reason=act.reason
        )
        place_bay_stray(draft, said)
        return
    pieces = [held for held in draft.book.holdings() if held.quantity > 0 and held.part == act.what]
    if not pieces or not (is_stray(act.what) or is_unnamed(act.what)):
        raise NotFound(f"No stray or unnamed piece is called {act.what}.", what=act.what)
    if act.is_a in NOT_OURS:
        _not_ours(draft, act, pieces)
        return
    if act.part is None:
        raise Invalid("Say which `part` it is.", field="part")
    in_catalogue(draft, act.part)
    if is_unnamed(act.what):
        _name(draft, act, act.part)
    elif act.is_a is IsA.ONE_MORE:
        for held in pieces:
            _swap(draft, held, act.part, gate=Gate.ADDITION)
    else:
        for held in pieces:
            _place_stray(draft, act, act.part, held)


def _not_ours(draft: Draft, act: Identify, pieces: list[Holding]) -> None:
    """It leaves this book: for the job it is of, if anybody knows, else for the workshop's."""
    if act.is_a is IsA.OF_A_JOB or act.of_job is not None:
        other = given_to(draft, act.of_job)
        give(draft, other, act.part or act.what, pieces, words=act.reason or "lay in our bag")
        draft.warn(f"Have it taken in on job {other.number} (borrow); until then it asks for it.")
    else:
        draft.warn("Record it as a stray of the workshop, so that it is held against every job.")
    for held in pieces:
        draft.gate_out(held, gate=Gate.OTHER_JOB)


def _name(draft: Draft, act: Identify, part: str) -> None:
    """All pieces of an unnamed part get their number, in the plan and wherever they are."""
    for position in draft.desk.plan.positions.values():
        if position.item(act.what) is not None:
            not_twice(position, act.what, part)
            rule = act.rule.value if act.rule else ""
            draft.effect(
                PositionCorrected(
                    position=position.id, part=act.what, becomes=part, rule=rule, renames=True
                )
            )
    for held in list(draft.book.holdings()):
        if held.quantity > 0 and held.part == act.what:
            _swap(draft, held, part, gate=Gate.PLAN_CORRECTION)


def _place_stray(draft: Draft, act: Identify, part: str, stray: Holding) -> None:
    """The stray is a piece the book has elsewhere: that one moves to where the stray lies."""
    known = [
        held
        for held in draft.book.holdings()
        if held.quantity > 0
        and held.part == part
        and held.spot.place.kind in ELSEWHERE
        and held.spot.place != stray.spot.place
        and act.position in (None, held.spot.lot)
    ]
    known.sort(key=lambda held: (ELSEWHERE.index(held.spot.place.kind), held.spot))
    if total(known) < stray.quantity:
        raise draft.refusal(
            "book-has-none",
            f"The book has {total(known)} {draft.words_for(part)} lost, missing or in another bag"
            f"{' from there' if act.position else ''}. If it is one more than the book knew, send "
            "`is_a` one-more.",
            there=total(known),
        )
    draft.gate_out(stray, gate=Gate.STRAY)
    for held in draft.draw(known, stray.quantity):
        draft.carry(held, stray.spot.place)
        if held.spot.place.kind is PlaceKind.BAG:
            draft.warn(f"It is now booked out of bag {shown_bag(held.spot.place.at)}.")


KINDS = (
    ActKind(
        kind="correct",
        group="plan",
        request=Correct,
        function=correct,
        says="The plan of this job is put right: what really belongs here.",
        example={"position": "FS-01", "sets": 5, "reason": "five holes on this vehicle"},
    ),
    ActKind(
        kind="identify",
        group="plan",
        request=Identify,
        function=identify,
        accounts=frozenset({JOB, WORKSHOP}),
        needs=frozenset({Needs.OTHER_JOB}),
        says="An unknown piece becomes a part with a number, or turns out whose it is.",
        example={"what": "unnamed:x0b9b4a5e-6a52", "part": "KF-1302"},
    ),
)
