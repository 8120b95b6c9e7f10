"""The right piece for a position: the right part, from the right bag, fit to be put back."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from partsvc.domain.acts.limited_uses import may_be_used_again
from partsvc.domain.desk import Draft, total
from partsvc.domain.gates import place_words
from partsvc.domain.inspection import looks_used
from partsvc.domain.ledger import Holding
from partsvc.domain.parts import Rule
from partsvc.domain.places import Condition, Gate, Place, PlaceKind
from partsvc.domain.plan import Position, StackItem


def is_right(held: Holding, item: StackItem) -> bool:
    """Whether a piece may go in without a second thought."""
    if held.spot.condition is Condition.DAMAGED or held.part not in item.numbers:
        return False
    return held.spot.condition is Condition.NEW or item.rule is not Rule.REPLACE


def pieces_for(
    draft: Draft,
    position: Position,
    item: StackItem,
    source: Place,
    wanted: int,
    *,
    part: str | None = None,
) -> list[Holding]:
    """The pieces to fit, the right ones first; anything else is objected to, each for its reason.

    `wanted` counts planned pieces; `part` is the number that was named, if one was. Home pieces
    come first, then new ones, then used ones of another position; where the rule is *replace*,
    new ones first and no others willingly.
    """
    there = draft.book.among(source, item.meant_by(part or item.part))
    if not there:
        return _not_in_here(draft, position, item, source, wanted, part or item.part)
    drawn = _covering(item, sorted(there, key=lambda held: _rank(held, position, item)), wanted)
    short = wanted - covered(item, drawn)
    if short > 0:
        drawn += _fewer_there(draft, item, source, drawn, short=short)
    _single_use(draft, position, item, drawn)
    _damaged(draft, drawn)
    _inspected(draft, position, item, drawn)
    _from_elsewhere(draft, position, drawn)
    return drawn


def names_of(draft: Draft, item: StackItem) -> str:
    """What a line takes, in words: the planned part, and the numbers that stand for it too."""
    others = f" or {' or '.join(item.numbers[1:])}" if item.numbers[1:] else ""
    return draft.words_for(item.part) + others


def covered(item: StackItem, held: Iterable[Holding]) -> int:
    """How many planned pieces these stand for; a stranger stands for one."""
    return sum(one.quantity * (item.covered_by(one.part) or 1) for one in held)


def _covering(item: StackItem, ordered: Iterable[Holding], wanted: int) -> list[Holding]:
    """As many of these, from the first on, as stand for so many planned pieces."""
    drawn = []
    for held in ordered:
        covers = item.covered_by(held.part) or 1
        take = min(held.quantity, -(-wanted // covers))
        if take > 0:
            drawn.append(replace(held, quantity=take))
            wanted -= take * covers
    return drawn


def _rank(held: Holding, position: Position, item: StackItem) -> tuple[int, ...]:
    new = held.spot.condition is Condition.NEW
    home = held.spot.lot == position.id
    wrong = not is_right(held, item)
    later = item.numbers.index(held.part) if held.part in item.numbers else 0
    return (int(wrong), int(not home), int(not new), later)


def _not_in_here(
    draft: Draft, position: Position, item: StackItem, source: Place, wanted: int, part: str
) -> list[Holding]:
    """The bag holds none of the part: the wrong bag, or one the book believes to be empty."""
    inside = draft.book.at(source)
    better = where_to_look(draft, position, item)
    wanted_words = f"{position.where} takes {names_of(draft, item)}"
    if not inside:
        draft.objection(
            "bag-empty-in-the-book",
            f"By the book {place_words(source)} is empty. {wanted_words}: {better}.",
        )
        return [_let_in(draft, part, source, wanted)]
    contents = ", ".join(f"{held.quantity} {draft.words_for(held.part)}" for held in inside)
    words = place_words(source)
    draft.objection(
        "wrong-bag",
        f"{words[0].upper()}{words[1:]} holds {contents}{_home_words(draft, inside)}. "
        f"{wanted_words}: {better}.",
    )
    found = draft.draw(inside, wanted)
    return found or [_let_in(draft, part, source, wanted)]


def _home_words(draft: Draft, inside: tuple[Holding, ...]) -> str:
    for held in inside:
        step = draft.desk.plan.home_step.get(held.spot.lot)
        if step is not None:
            where = draft.desk.plan.positions[held.spot.lot].where
            return f", of step {step.number} ({where})"
    return ""


def where_to_look(draft: Draft, position: Position, item: StackItem) -> str:
    """Where right pieces are, in words: the bags that hold some, or that none is there."""
    found = [
        held
        for held in draft.book.holdings()
        if held.quantity > 0
        and held.spot.account == draft.desk.account
        and held.spot.place.kind in (PlaceKind.BAG, PlaceKind.OWN_HOLE, PlaceKind.WITH)
        and is_right(held, item)
    ]
    if not found:
        return "none is in any bag of this job; ask the parts desk"
    found.sort(key=lambda held: (_rank(held, position, item), held.spot.place))
    best = found[0]
    new = " new" if best.spot.condition is Condition.NEW else ""
    return f"{best.quantity}{new} in {place_words(best.spot.place)}"


def _let_in(draft: Draft, part: str, source: Place, wanted: int) -> Holding:
    draft.gate_in(
        part,
        wanted,
        source,
        gate=Gate.ADDITION,
        condition=Condition.USED,
        lot=f"extra:{draft.doing.key}",
    )
    spot = draft.spot(source, Condition.USED, f"extra:{draft.doing.key}")
    return Holding(part, spot, wanted)


def _fewer_there(
    draft: Draft, item: StackItem, source: Place, drawn: list[Holding], *, short: int
) -> list[Holding]:
    part = drawn[-1].part
    there, wanted = total(drawn), total(drawn) + -(-short // (item.covered_by(part) or 1))
    names = " and ".join(dict.fromkeys(draft.words_for(held.part) for held in drawn))
    draft.objection(
        "more-than-are-there",
        f"By the book {place_words(source)} holds {there} {names}, not "
        f"{wanted}. Count again; or fit {there}.",
        there=there,
    )
    return [_let_in(draft, part, source, wanted - there)]


def _single_use(draft: Draft, position: Position, item: StackItem, drawn: list[Holding]) -> None:
    old = total(held for held in drawn if held.spot.condition is not Condition.NEW)
    if item.rule is Rule.REPLACE and old:
        draft.objection(
            "single-use",
            f"{draft.words_for(drawn[0].part)} is single-use: fit a new one at {position.where}. "
            f"New ones: {where_to_look(draft, position, item)}.",
        )


def _damaged(draft: Draft, drawn: list[Holding]) -> None:
    hurt = [held for held in drawn if held.spot.condition is Condition.DAMAGED]
    if hurt:
        draft.objection(
            "damaged",
            f"{total(hurt)} {draft.words_for(hurt[0].part)} in {place_words(hurt[0].spot.place)} "
            "broke or failed inspection. Fit a good one; discard the broken one.",
        )


def _inspected(draft: Draft, position: Position, item: StackItem, drawn: list[Holding]) -> None:
    """Rules *inspect* and *limited*: somebody must have looked at these pieces first."""
    if item.rule is Rule.LIMITED:
        may_be_used_again(draft, position, item, drawn)
    if item.rule is not Rule.INSPECT:
        return
    for part, lot in sorted({(held.part, held.spot.lot) for held in drawn}):
        used = total(
            held
            for held in drawn
            if (held.part, held.spot.lot, held.spot.condition) == (part, lot, Condition.USED)
        )
        if used > looked_at(draft, part, lot):
            draft.objection("not-inspected", ask_to_look(draft, position, item, part))
            return


def looked_at(draft: Draft, part: str, lot: str) -> int:
    """How many more pieces of a lot may go back by what was seen when they were inspected."""
    return draft.desk.state.passed(part, lot) - looks_used(draft.posted(), part, lot)


def ask_to_look(draft: Draft, position: Position, item: StackItem, part: str) -> str:
    """What is asked for before a used piece goes back, in words."""
    return (
        f"{draft.words_for(part)} at {position.where} goes back only after a look: "
        f"{item.criterion or 'undamaged'}. Inspect it first."
    )


def _from_elsewhere(draft: Draft, position: Position, drawn: list[Holding]) -> None:
    """Same part of another position: harmless for this one, a shortage for the other."""
    for held in drawn:
        home = draft.desk.plan.positions.get(held.spot.lot)
        if home is not None and home.id != position.id:
            draft.warn(
                f"{held.quantity} of these came off at {home.where}: the same part, but they will "
                "be missing there."
            )
