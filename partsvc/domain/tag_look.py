"""What a scanned tag tells: what is in the bag, where it belongs, and what to do with it next."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated

from partsvc.domain.batches import lot_facts
from partsvc.domain.carriers import carried_by
from partsvc.domain.desk import Desk, TagFacts, shown_bag
from partsvc.domain.fragments import rests_at, rests_in
from partsvc.domain.job_facts import JobFacts
from partsvc.domain.ledger import Holding
from partsvc.domain.look import called, look_alike_words, look_alikes, rule_words
from partsvc.domain.lost_tags import carries_now
from partsvc.domain.parts import Rule, is_stray
from partsvc.domain.places import Condition, bag
from partsvc.domain.plan import Position, StackItem
from partsvc.domain.progress import whereabouts
from partsvc.domain.records import Says
from partsvc.domain.tag_kinds import is_done_with
from partsvc.domain.this_vehicle import repairs
from partsvc.domain.use_counts import use_counts, uses_words


@dataclass(frozen=True, slots=True, kw_only=True)
class Content:
    """Pieces of one part in the bag, from one place."""

    part: str
    called: str
    quantity: int
    condition: str
    lot: str
    position: str = ""
    where: str = ""
    step: str = ""
    step_number: int = 0
    rule: str = ""
    rule_words: str = ""
    looks_like: tuple[str, ...] = ()
    batch: Annotated[str, Says("the maker's batch of new parts")] = ""
    use_by: Annotated[str, Says("the last day on which they are good")] = ""
    uses: str = ""
    repaired: Annotated[str, Says("what was repaired where it belongs, on this vehicle")] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PocketView:
    """A pocket of a board, and what is in it."""

    number: int
    code: str
    shown: str
    void: bool
    words: Annotated[str, Says("what is in it, or that it is empty")]
    contents: tuple[Content, ...]


@dataclass(frozen=True, slots=True)
class OnBoard:
    """What a tag has to do with a board: on which pocket of which it is, or what its pockets are.

    A pocket is told by its number, its code, and whether its tag was voided.
    """

    board: str = ""
    number: int = 0
    pockets: tuple[tuple[int, str, bool], ...] = ()


NO_BOARD = OnBoard()


@dataclass(frozen=True, slots=True, kw_only=True)
class TagView:
    """A tag, its bag and what to do next."""

    code: str
    shown: str
    kind: str
    void: bool
    job: JobFacts | None
    contents: tuple[Content, ...]
    stowed_at: str
    seen_empty: bool
    next: str
    carries_now: Annotated[str, Says("the tag the bag carries now, if this one was lost")] = ""
    board: Annotated[str, Says("the board, if the tag is on one of its pockets")] = ""
    pocket: Annotated[int, Says("the number of the pocket on its board; 0 if on none")] = 0
    pockets: Annotated[tuple[PocketView, ...], Says("the pockets, if the tag is on a board")] = ()
    carries: Annotated[
        tuple[str, ...], Says("what lies on a carrier that is in it, though booked at its place")
    ] = ()
    words: Annotated[str, Says("what stands on it, as it was minted")] = ""
    copies: Annotated[int, Says("how often it was printed; every copy is good")] = 0
    person: Annotated[str, Says("whose badge it is")] = ""
    name: Annotated[str, Says("what that person is called")] = ""


def blank_tag(facts: TagFacts, kind: str, on_board: OnBoard = NO_BOARD) -> TagView:
    """A tag no job has used yet, or a voided one."""
    words = (
        "This tag was voided. Put a blank tag on the bag."
        if facts.void
        else "Blank tag: scan it when you bag something; it is that job's from then on."
    )
    return TagView(
        code=facts.code,
        shown=shown_bag(facts.code),
        kind=kind,
        void=facts.void,
        job=None,
        contents=(),
        stowed_at="",
        seen_empty=False,
        next=words,
        board=shown_bag(on_board.board) if on_board.board else "",
        pocket=on_board.number,
        pockets=tuple(_empty_pocket(*one) for one in on_board.pockets),
    )


def _empty_pocket(number: int, code: str, void: bool) -> PocketView:
    return PocketView(
        number=number, code=code, shown=shown_bag(code), void=void, words="empty", contents=()
    )


def _pocket(desk: Desk, number: int, code: str, void: bool) -> PocketView:
    contents = contents_of(desk, code)
    words = ", ".join(f"{one.quantity} {one.called}" for one in contents)
    return replace(_empty_pocket(number, code, void), words=words or "empty", contents=contents)


def tag_view(
    job: JobFacts, desk: Desk, facts: TagFacts, kind: str, on_board: OnBoard = NO_BOARD
) -> TagView:
    """What is in the bag of a tag, and what to do with it next."""
    held = desk.book.at(bag(facts.code))
    last = desk.touched.get(f"bag:{facts.code}", 0)
    seen = last > 0 and not held and desk.state.seen_empty.get(facts.code, 0) > last
    return TagView(
        code=facts.code,
        shown=shown_bag(facts.code),
        kind=desk.state.tags.get(facts.code, kind),
        void=facts.void,
        job=job,
        contents=contents_of(desk, facts.code),
        stowed_at=desk.state.stowed.get(facts.code, ""),
        seen_empty=seen,
        next=_next(desk, facts, held, used=last > 0, seen=seen),
        carries_now=shown_bag(now) if (now := carries_now(desk, facts.code)) else "",
        board=shown_bag(on_board.board) if on_board.board else "",
        pocket=on_board.number,
        pockets=tuple(_pocket(desk, *one) for one in on_board.pockets),
        carries=carried_by(desk, facts.code),
    )


def bay_tag(desk: Desk, facts: TagFacts, kind: str) -> TagView:
    """A tag of the workshop's own: what was found in the bay lies in it."""
    contents = contents_of(desk, facts.code)
    words = "Found in the bay: look at the list of strays, and say whose it is."
    return TagView(
        code=facts.code,
        shown=shown_bag(facts.code),
        kind=kind,
        void=facts.void,
        job=None,
        contents=contents,
        stowed_at="",
        seen_empty=False,
        next=words if contents else "Empty by the book; it is kept for what is found in the bay.",
    )


def contents_of(desk: Desk, code: str) -> tuple[Content, ...]:
    """What is in a bag, each lot of each part by itself."""
    alike = look_alikes(desk.plan, desk.parts)
    return tuple(_content(desk, one, alike) for one in desk.book.at(bag(code)))


def _content(desk: Desk, held: Holding, alike: dict[str, tuple[str, ...]]) -> Content:
    position = desk.plan.positions.get(held.spot.lot)
    step = desk.plan.home_step.get(held.spot.lot)
    item = position.item(held.part) if position else None
    lot = lot_facts(desk, held.spot.lot, held.part)
    return Content(
        part=held.part,
        called=called(desk, held.part),
        quantity=held.quantity,
        condition=held.spot.condition.value,
        lot=held.spot.lot,
        position=position.id if position else "",
        where=position.where if position else "",
        step=step.id if step else "",
        step_number=step.number if step else 0,
        rule=item.rule.value if item else "",
        rule_words=rule_words(item) if item else "",
        looks_like=look_alike_words(held.part, alike.get(held.part, ()), desk.parts),
        batch=lot.batch,
        use_by=lot.use_by,
        uses=_uses(desk, held, item or _somewhere(desk, held)[1]),
        repaired=repairs(desk.state).get(held.spot.lot, ""),
    )


def _next(desk: Desk, facts: TagFacts, held: tuple[Holding, ...], *, used: bool, seen: bool) -> str:
    if facts.void and (now := carries_now(desk, facts.code)):
        return f"This tag is dead: its bag carries {shown_bag(now)} now. Destroy this one."
    if facts.void:
        return "This tag was voided. Put a blank tag on the bag."
    if not held and not used:
        return "Nothing was put in yet."
    if not held and seen:
        return "Empty, and seen empty: the bag is done with."
    if not held:
        return "Empty by the book: look inside and record it as seen empty."
    return " ".join(dict.fromkeys(_next_for(desk, one) for one in held))


def _next_for(desk: Desk, held: Holding) -> str:
    name = f"{held.quantity} {called(desk, held.part)}"
    if is_stray(held.part):
        return "A piece nobody could place: say what it is."
    if is_done_with(desk, held):
        return "Old parts: discarded or kept for warranty when the job is released."
    if held.spot.condition is Condition.DAMAGED:
        rests = rests_at(desk, held.spot.lot) or rests_in(desk, held.spot.place.at)
        return " ".join((f"Discard {name}: broken.", *map(_sentence, rests)))
    if held.spot.condition is Condition.NEW:
        lot = lot_facts(desk, held.spot.lot, held.part)
        if lot.is_past(desk.today):
            return f"Do not fit {name}: good until {lot.use_by} only. Put it aside; take others."
        return f"Fit {name} (new): {_places_for(desk, held)}."
    position = desk.plan.positions.get(held.spot.lot)
    item = position.item(held.part) if position else None
    if position is None or item is None:
        # It came new into this job and off again: at home wherever its part is taken.
        position, item = _somewhere(desk, held)
    if position is None or item is None:
        return f"Say where {name} belongs."
    step = desk.plan.home_step[position.id]
    if item.rule is Rule.REPLACE:
        return f"Discard or exchange {name}: single-use."
    look = " after a look" if item.rule is Rule.INSPECT else ""
    uses = f" ({told})" if (told := _uses(desk, held, item)) else ""
    return f"Fit {name} at step {step.number}, {position.where}{look}{uses}."


def _somewhere(desk: Desk, held: Holding) -> tuple[Position | None, StackItem | None]:
    """A position that takes this part, one where it may go back before one that wants new ones."""
    taking = [
        (position, item)
        for _, position in desk.plan.each_position()
        if (item := position.item(held.part)) is not None
    ]
    taking.sort(key=lambda found: found[1].rule is Rule.REPLACE)
    return taking[0] if taking else (None, None)


def _uses(desk: Desk, held: Holding, item: StackItem | None) -> str:
    """How often pieces of limited use were used; empty for all others."""
    if item is None or item.rule is not Rule.LIMITED or held.spot.condition is not Condition.USED:
        return ""
    return uses_words(use_counts(desk).pieces(held.part, held.spot), item)


def _sentence(words: str) -> str:
    return words[0].upper() + words[1:]


def _instead(held: Holding, item: StackItem) -> str:
    return f", for {item.part}" if held.part != item.part else ""


def _places_for(desk: Desk, held: Holding) -> str:
    """Where new pieces of this part are still wanted."""
    wanted = [
        f"step {step.number}, {position.where}{_instead(held, item)}"
        for step, position in desk.plan.each_position()
        if (item := position.item(held.part)) is not None and whereabouts(position, desk.book).off
    ]
    return "; ".join(wanted[:4]) or "not wanted anywhere now, return it"
