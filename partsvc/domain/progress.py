"""How far each step is, both ways: what is still on, what is off, what is back.

The gates of an act, the strip list and the refit checklist all ask the same questions here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from partsvc.domain.ledger import Book
from partsvc.domain.places import Place, loose, missing, own_hole, secured
from partsvc.domain.plan import Phase, Plan, Position, Step


@dataclass(frozen=True, slots=True, kw_only=True)
class Whereabouts:
    """Where the pieces of one position are, in pieces of its planned parts."""

    planned: int
    secured: int
    loose: int
    own_hole: int
    missing: int
    off: int


def whereabouts(position: Position, book: Book) -> Whereabouts:
    """Where the pieces of a position are; wrong parts put there do not count."""

    def there(place: Place) -> int:
        return sum(position.filled(book.numbers(place)).values())

    return Whereabouts(
        planned=position.pieces(),
        secured=there(secured(position.id)),
        loose=there(loose(position.id)),
        own_hole=there(own_hole(position.id)),
        missing=there(missing(position.id)),
        off=sum(not_in_place(position, book).values()),
    )


def not_in_place(position: Position, book: Book) -> Mapping[str, int]:
    """How many planned pieces of each line of a stack are neither secured nor loose there."""
    full = position.filled(book.numbers(secured(position.id), loose(position.id)))
    return {
        item.part: max(0, position.sets * item.per_set - full[item.part]) for item in position.stack
    }


def too_many(position: Position, book: Book) -> Mapping[str, int]:
    """How many more pieces of each line of a stack are in place than belong there.

    What only came along with the pieces of another line (a captive washer) is told with those.
    """
    pieces = book.numbers(secured(position.id), loose(position.id))
    full = position.filled(pieces)
    found: dict[str, int] = {}
    for item in position.stack:
        over = full[item.part] - position.sets * item.per_set
        own = full[item.part] - item.along_with(pieces)
        found[item.part] = max(0, min(over, own))
    return found


def still_on(step: Step, book: Book) -> Iterator[tuple[Position, int]]:
    """The positions of a step that are not yet off (or loosened, where that is all).

    Where nobody has said yet how many there are, they are still on, 0 of them by the book.
    """
    for position in step.positions:
        now = whereabouts(position, book)
        on = now.secured if position.loosen_only else now.secured + now.loose
        if on or position.uncounted:
            yield position, on


def not_back(step: Step, book: Book) -> Iterator[tuple[Position, int]]:
    """The positions of a step that are not all back in place."""
    for position in step.positions:
        off = whereabouts(position, book).off
        if off:
            yield position, off


def not_secured(step: Step, book: Book) -> Iterator[tuple[Position, int]]:
    """The positions of a step with pieces that are in place but not secured."""
    for position in step.positions:
        now = whereabouts(position, book)
        if now.loose:
            yield position, now.loose


def needs_tick(step: Step, phase: Phase) -> bool:
    """Whether the step is finished by `done`: no pieces and no hold of its own show it."""
    shows_itself = bool(step.positions or step.holds or step.temporaries)
    if step.phase is Phase.REFIT:
        return phase is Phase.REFIT and not (step.holds and not step.readings)
    return phase is Phase.STRIP and not shows_itself


def ancestors(plan: Plan, step: Step, phase: Phase) -> tuple[str, ...]:
    """All steps that must come before this one, in this direction, nearest first."""
    before = before_strip(plan) if phase is Phase.STRIP else before_refit(plan)
    found: dict[str, None] = {}
    queue = list(before[step.id])
    while queue:
        name = queue.pop(0)
        if name not in found:
            found[name] = None
            queue.extend(before[name])
    return tuple(found)


def before_strip(plan: Plan) -> dict[str, tuple[str, ...]]:
    """For each step, the steps that must be off before it."""
    return {
        step.id: tuple(name for name in step.after if name in plan.step_of) for step in plan.steps
    }


def before_refit(plan: Plan) -> dict[str, tuple[str, ...]]:
    """For each step, the steps that must be back before it: the strip's order, turned round."""
    before: dict[str, list[str]] = {step.id: [] for step in plan.steps}
    for step in plan.steps:
        before[step.id].extend(name for name in step.refit_after if name in plan.step_of)
        if step.phase is Phase.BOTH:
            for outer in step.after:
                if outer in before and plan.step_of[outer].phase is Phase.BOTH:
                    before[outer].append(step.id)
    return {name: tuple(dict.fromkeys(inner)) for name, inner in before.items()}
