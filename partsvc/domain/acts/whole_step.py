"""A whole step as planned in one act: one scan for what twenty acts would tell.

Each position of the step is judged as if it had been sent alone. What would be refused is left as
it is and named in the warnings; the act is refused only when nothing of the step is left to do.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, fields

from partsvc.domain.acts.right_piece import covered, is_right, pieces_for, where_to_look
from partsvc.domain.desk import Draft, shown_bag, spent, total, worn
from partsvc.domain.gates import may_refit, may_strip
from partsvc.domain.ledger import Holding
from partsvc.domain.parts import SpentAt
from partsvc.domain.places import (
    Condition,
    Place,
    PlaceKind,
    bag,
    loose,
    own_hole,
    secured,
    with_person,
)
from partsvc.domain.plan import Position, StackItem, Step
from partsvc.domain.progress import not_in_place
from partsvc.domain.tag_kinds import TagKind, for_old_parts
from partsvc.errors import Invalid, Refused

LEFT_OUT = "Left out"
LEFT_LOOSE = "Left loose"


@dataclass(frozen=True, slots=True)
class Outcome:
    """How many pieces an act on a whole step moved, and what it had to leave as it is."""

    done: int
    left: tuple[Refused, ...]


def each_position(draft: Draft, step: Step, doing: Callable[[Position], int]) -> Outcome:
    """Do something at each position of a step, each by itself; `doing` answers how many pieces."""
    done = 0
    left: list[Refused] = []
    for position in step.positions:
        try:
            with _all_or_nothing(draft):
                draft.position(position.id)
                done += doing(position)
        except Refused as refused:
            left.append(refused)
    draft.about.pop("position", None)
    draft.step_of(step.id)
    return Outcome(done, tuple(left))


def told(draft: Draft, step: Step, outcomes: Mapping[str, Outcome]) -> None:
    """Name what was left as it is, by how it was left; refused when nothing at all was done."""
    if not any(outcome.done for outcome in outcomes.values()):
        refused = [one for outcome in outcomes.values() for one in outcome.left]
        raise refused[0] if refused else _nothing_left(draft, step)
    for how, outcome in outcomes.items():
        for one in outcome.left:
            draft.warn(f"{how}: {one.detail}")


@contextmanager
def _all_or_nothing(draft: Draft) -> Iterator[None]:
    """What is refused at one position leaves nothing behind in the act."""
    book, about = draft.book.copy(), dict(draft.about)
    entries, effects, warnings = len(draft.entries), len(draft.effects), len(draft.warnings)
    try:
        yield
    except Refused:
        draft.book, draft.about = book, about
        del draft.entries[entries:], draft.effects[effects:], draft.warnings[warnings:]
        raise


def _nothing_left(draft: Draft, step: Step) -> Refused:
    return draft.refusal(
        "nothing-there",
        f"By the book nothing is left to do at step {step.number} ({step.title}). Look at its "
        "positions; what is otherwise, record by its position.",
    )


def only_these(act: object, *names: str, words: str = "Send it with that `position`.") -> None:
    """Invalid when an act on a whole step also says what only one position has."""
    for item in fields(act):  # type: ignore[arg-type]
        if item.name not in names and getattr(act, item.name) != item.default:
            raise Invalid(
                f"`{item.name}` is said of one thing, not of all. {words}", field=item.name
            )


# Taking apart -----------------------------------------------------------------------------------


def take_off_step(draft: Draft, step: Step, into: Callable[[Position], Place]) -> None:
    """All that is still on at a step comes off, or is loosened where that is all."""
    may_strip(draft, step)
    off = each_position(draft, step, lambda position: _take_off(draft, position, into))
    told(draft, step, {LEFT_OUT: off})


def _take_off(draft: Draft, position: Position, into: Callable[[Position], Place]) -> int:
    _counted(draft, position)
    here = (secured(position.id), loose(position.id))
    # A number that is accepted for two lines of the stack is there once.
    numbers = dict.fromkeys(number for item in position.stack for number in item.numbers)
    there = [
        held
        for place in (here[:1] if position.loosen_only else here)
        for held in draft.book.among(place, tuple(numbers))
    ]
    if not there:
        return 0
    target = loose(position.id) if position.loosen_only else into(position)
    for held in there:
        condition = worn(held.spot.condition, held.spot.place.kind)
        draft.carry(held, target, condition=condition)
    return total(there)


def _counted(draft: Draft, position: Position) -> None:
    if position.uncounted:
        draft.objection(
            "count-first",
            f"{position.where}: nobody has said yet how many there are. Take them off by "
            "themselves, and say how many.",
        )


def free_pockets(draft: Draft, code: str) -> Callable[[Position], Place] | None:
    """The free pockets of a board, one for each position in plan order; None for a plain bag."""
    pockets = draft.desk.boards.get(code, ())
    if not pockets:
        return None
    free = iter(
        [one for one in pockets if not draft.book.at(bag(one)) and not draft.desk.tags[one].void]
    )

    def next_one(position: Position) -> Place:
        found = next(free, None)
        if found is None:
            raise draft.refusal(
                "board-full",
                f"Board {shown_bag(code)} has no free pocket for {position.where}. Take another "
                "board or bag for it.",
            )
        draft.warn(f"Pocket {pockets.index(found) + 1}: {position.where}.")
        return draft.use_bag(found, TagKind.POCKET)

    return next_one


# Putting back -----------------------------------------------------------------------------------


def fit_step(draft: Draft, step: Step, only: frozenset[Place]) -> None:
    """All that belongs to a step goes back, hand-started, from wherever its pieces lie.

    `only` names the places to take from; empty for all bags and own holes of the job.
    """
    may_refit(draft, step)
    fitted = each_position(draft, step, lambda position: put_in(draft, position, only))
    told(draft, step, {LEFT_OUT: fitted})


def put_in(draft: Draft, position: Position, only: frozenset[Place]) -> int:
    """What is not in place at a position goes in, as far as right pieces are there."""
    before = sum(not_in_place(position, draft.book).values())
    # What comes along with another line (a captive washer) is counted after that line.
    for item in sorted(position.stack, key=lambda one: one.rides):
        for place in _places(draft, position, item, only):
            _from(draft, position, item, place)
        still = not_in_place(position, draft.book)[item.part]
        if still and not only:
            draft.warn(
                f"{position.where}: {still} {draft.words_for(item.part)} still off: "
                f"{where_to_look(draft, position, item)}."
            )
    return before - sum(not_in_place(position, draft.book).values())


def _from(draft: Draft, position: Position, item: StackItem, place: Place) -> None:
    """From one place, as many as are wanted and may go in without a second thought."""
    wanted = not_in_place(position, draft.book)[item.part]
    right = [
        held
        for held in draft.book.among(place, item.numbers)
        if _for_here(draft, held, position, item)
    ]
    wanted = min(wanted, covered(item, right))
    if wanted < 1:
        return
    for held in pieces_for(draft, position, item, place, wanted):
        condition = spent(held.spot.condition, draft.desk.parts.get(held.part), SpentAt.FIT)
        draft.carry(held, loose(position.id), condition=condition)


def _for_here(draft: Draft, held: Holding, position: Position, item: StackItem) -> bool:
    """Its own pieces, new ones, and used ones that are at home nowhere else."""
    if held.spot.account != draft.desk.account or not is_right(held, item):
        return False
    lot = held.spot.lot
    return (
        held.spot.condition is Condition.NEW
        or lot == position.id
        or lot not in draft.desk.plan.positions
    )


def _places(
    draft: Draft, position: Position, item: StackItem, only: frozenset[Place]
) -> list[Place]:
    """Where right pieces lie: their own hole, their own bag, then any other bag of the job."""
    own = {
        posted.entry.target.place
        for posted in draft.desk.posted
        if posted.entry.target.lot == position.id
    }
    lying = [held for part in item.numbers for held in draft.book.lying(part, PlaceKind.BAG)]
    lying += draft.book.among(own_hole(position.id), item.numbers)
    lying += draft.book.among(with_person(draft.doing.by), item.numbers)
    found = {
        held.spot.place
        for held in lying
        if _for_here(draft, held, position, item)
        and not for_old_parts(draft.desk, held.spot.place.at)
    }
    return sorted(
        found & only if only else found,
        key=lambda place: (place.kind is not PlaceKind.OWN_HOLE, place not in own, place),
    )


def places_named(draft: Draft, code: str | None) -> frozenset[Place]:
    """The bag an act takes from, with all pockets if it is a board; empty where none is named."""
    if code is None:
        return frozenset()
    return frozenset({draft.use_bag(code), *map(bag, draft.desk.boards.get(code, ()))})
