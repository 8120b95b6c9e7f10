"""Another number accepted at a position of this vehicle, or not taken there."""

from __future__ import annotations

from partsvc.domain.accepted_numbers import is_kit
from partsvc.domain.acts.known import in_catalogue
from partsvc.domain.desk import Draft
from partsvc.domain.effects_numbers import NumberAccepted, NumberRefused
from partsvc.domain.plan import Position, StackItem
from partsvc.errors import Invalid

MAY_ACCEPT = frozenset({"parts", "quality", "lead"})


def accept_number(
    draft: Draft, position: Position, part: str | None, number: str, source: str | None
) -> None:
    """Another number is taken here from now on, beside the planned one; `source` says who says so.

    Refused for a kit, which is handed out as what it holds, and for a number that has a line of
    its own here.
    """
    item = _line(position, part)
    in_catalogue(draft, number)
    if source is None:
        raise Invalid(
            f"Say in `source` who says that {number} may stand for {item.part}: a bulletin, the "
            "maker's catalogue, a letter.",
            field="source",
        )
    if any(one.part == number for one in position.stack):
        raise Invalid(f"{number} is planned at {position.where} already.", field="accepts")
    if is_kit(draft.desk.parts[number]):
        raise Invalid(
            f"{number} is a kit and is handed out as what it holds. Name the part in it.",
            field="accepts",
        )
    if not draft.doing.roles & MAY_ACCEPT:
        draft.objection(
            "number-not-accepted",
            f"{draft.words_for(number)} for {draft.words_for(item.part)} at {position.where} is "
            "accepted by the parts desk, quality or the lead. Ask one of them to record it.",
        )
    draft.effect(NumberAccepted(position=position.id, part=item.part, number=number, source=source))


def refuse_number(
    draft: Draft, position: Position, part: str | None, number: str, reason: str
) -> None:
    """A number that was taken here is not taken any more; pieces of it in place become findings."""
    item = _line(position, part)
    if number == item.part or number not in item.numbers:
        others = ", ".join(item.numbers[1:]) or "no other number"
        raise Invalid(
            f"At {position.where} {others} is accepted for {item.part}, not {number}.",
            field="refuses",
        )
    draft.effect(NumberRefused(position=position.id, part=item.part, number=number, source=reason))


def _line(position: Position, part: str | None) -> StackItem:
    """The line that is meant; of a set with several parts it must be named."""
    if part is None and len(position.stack) > 1:
        raise Invalid("Several parts belong here: say which `part` it stands for.", field="part")
    item = position.item(part) if part else position.stack[0]
    if item is None:
        raise Invalid(f"{part} does not belong at {position.where}.", field="part")
    return item
