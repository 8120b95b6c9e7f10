"""What happens to bags: moved, stowed, looked into, thrown out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.custody import not_anothers
from partsvc.domain.acts.fields import BagCode, Lot, PartNumber, SomePieces
from partsvc.domain.acts.kinds import ActKind, Needs
from partsvc.domain.acts.known import heard_of
from partsvc.domain.batches import lot_facts, not_mixed
from partsvc.domain.desk import Draft, shown_bag, total
from partsvc.domain.effects import BagSeenEmpty, CountTaken, Stowed
from partsvc.domain.gates import place_words
from partsvc.domain.ledger import Holding
from partsvc.domain.places import SCRAP, Condition, Gate, Place, bag, with_person
from partsvc.domain.records import AtMost, Code, Id, Line, Says
from partsvc.domain.tag_kinds import bag_words
from partsvc.errors import Invalid


@dataclass(frozen=True, slots=True, kw_only=True)
class Rebag:
    """Pieces moved from one bag into another, or out of a person's lock box into a bag."""

    bag: BagCode | None = None
    into: BagCode
    part: PartNumber | None = None
    lot: Lot | None = None
    quantity: SomePieces | None = None
    from_person: Annotated[Id | None, Says("out of this person's lock box, not a bag")] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stow:
    """Where a tagged bag is now: a rack, a trolley, inside another box."""

    tags: Annotated[tuple[Code, ...], AtMost(100), Says("the bags that were put there")]
    at: Annotated[Line | None, Says("the rack place, trolley or box, in words")] = None
    at_tag: Annotated[Code | None, Says("its tag instead: a rack place, or a box of this job")] = (
        None
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Discard:
    """Thrown away for good."""

    bag: BagCode
    part: PartNumber | None = None
    lot: Lot | None = None
    condition: Condition | None = None
    quantity: SomePieces | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenEmpty:
    """Bags looked into and found empty; many at once by one photo."""

    bags: Annotated[tuple[Code, ...], AtMost(100), Says("the bags seen empty")]


def rebag(draft: Draft, act: Rebag) -> None:
    """Pieces move into a bag, from another or from a person; nothing else changes."""
    source, target = _coming_from(draft, act), draft.use_bag(act.into)
    if source == target:
        raise Invalid("The pieces are in this bag already. Scan the other bag.", field="into")
    for held in from_bag(draft, source, part=act.part, lot=act.lot, quantity=act.quantity):
        if held.spot.condition is Condition.NEW:
            batch = lot_facts(draft.desk, held.spot.lot, held.part).batch
            not_mixed(draft, target, held.part, {batch})
        draft.carry(held, target)


def _coming_from(draft: Draft, act: Rebag) -> Place:
    if act.from_person is None and act.bag is not None:
        return draft.use_bag(act.bag)
    if act.from_person is None or act.bag is not None:
        raise Invalid(
            "Say where the pieces are now: in a `bag`, or with whom: `from_person`.", field="bag"
        )
    not_anothers(draft, act.from_person)
    return with_person(act.from_person)


def stow(draft: Draft, act: Stow) -> None:
    """Where bags stand now, a board with all its pockets; moves no pieces."""
    place = _stowed_at(draft, act)
    for code in act.tags:
        draft.use_bag(code)
        for one in (code, *draft.desk.boards.get(code, ())):
            draft.effect(Stowed(tag=one, at=place))


def _stowed_at(draft: Draft, act: Stow) -> str:
    """The place in words: as said, or as they stand on the tag that was scanned for it."""
    code = act.at_tag
    if code is None:
        if act.at is None:
            raise Invalid(
                "Say where they stand: `at` in words, or its tag in `at_tag`.", field="at"
            )
        return act.at
    if act.at is not None:
        raise Invalid("Say the place once: in `at`, or by its tag in `at_tag`.", field="at")
    if code in act.tags:
        raise Invalid("A bag does not stand inside itself. Scan the place's tag.", field="at_tag")
    tag = draft.desk.tags.get(code)
    if tag is None or tag.kind != "rack":
        draft.use_bag(code)
        return bag_words(draft.desk, code)
    if tag.void:
        draft.objection(
            "void-tag", f"Tag {shown_bag(code)} of the rack place was voided. Print a new one."
        )
    return tag.words or f"rack place {shown_bag(code)}"


def discard(draft: Draft, act: Discard) -> None:
    """Pieces leave a bag for good."""
    source = draft.use_bag(act.bag)
    drawn = from_bag(
        draft,
        source,
        part=act.part,
        lot=act.lot,
        condition=act.condition,
        quantity=act.quantity,
    )
    for held in drawn:
        draft.carry(held, SCRAP)


def see_empty(draft: Draft, act: SeenEmpty) -> None:
    """Bags were looked into and nothing was there; the book must agree, or a count says so."""
    pockets = [one for code in act.bags for one in draft.desk.boards.get(code, ())]
    used = [one for one in pockets if one in draft.desk.state.tags]
    for code in dict.fromkeys((*act.bags, *used)):
        there = draft.book.at(draft.use_bag(code))
        if there:
            _disagrees(draft, code, there)
        else:
            draft.effect(BagSeenEmpty(bag=code))


def _disagrees(draft: Draft, code: str, there: tuple[Holding, ...]) -> None:
    words = ", ".join(f"{held.quantity} {draft.words_for(held.part)}" for held in there)
    draft.objection(
        "not-empty-in-the-book",
        f"By the book bag {shown_bag(code)} still holds {words}. Look again; if it really is "
        "empty, it is recorded as counted: none.",
        there=total(there),
    )
    for part in sorted({held.part for held in there}):
        book = total(held for held in there if held.part == part)
        draft.effect(CountTaken(bag=code, part=part, counted=0, book=book))


def from_bag(
    draft: Draft,
    source: Place,
    *,
    part: str | None = None,
    lot: str | None = None,
    condition: Condition | None = None,
    quantity: int | None = None,
    old_only: bool = False,
) -> list[Holding]:
    """Pieces of a bag, all that fit the words or so many; more than are there is objected to.

    `old_only` leaves out the new ones. What is let in to make the number up fits the words too.
    """

    def fitting() -> list[Holding]:
        return [
            held
            for held in draft.book.at(source, part or "")
            if lot in (None, held.spot.lot)
            and condition in (None, held.spot.condition)
            and not (old_only and held.spot.condition is Condition.NEW)
        ]

    there = fitting()
    if quantity is None:
        if not there:
            raise draft.refusal(
                "nothing-there",
                f"By the book nothing of this is in {place_words(source)}. If there is, "
                "count it, or record the piece as a stray.",
            )
        return there
    if quantity > total(there):
        one = _which(there, part)
        heard_of(draft, one)
        spare = draft.spot(source, condition or Condition.USED, lot or f"extra:{draft.doing.key}")
        like = there[0] if there else Holding(one, spare, 0)
        _more_than_there(draft, like, there=total(there), quantity=quantity)
        there = fitting()
    elif part is None:
        _which(there, part)
    return draft.draw(there, quantity)


def _which(there: list[Holding], part: str | None) -> str:
    """The one part that a number of pieces is of; a number of a mixture says nothing."""
    parts = {held.part for held in there} if part is None else {part}
    if len(parts) != 1:
        raise Invalid("Say which `part` so many are of.", field="part")
    return parts.pop()


def _more_than_there(draft: Draft, like: Holding, *, there: int, quantity: int) -> None:
    """Object; what was taken beyond the book is let in, of the kind that is there."""
    spot = like.spot
    draft.objection(
        "more-than-are-there",
        f"By the book {place_words(spot.place)} holds {there} {draft.words_for(like.part)}, "
        f"not {quantity}. Count again; or say what is there.",
        there=there,
    )
    draft.gate_in(
        like.part,
        quantity - there,
        spot.place,
        gate=Gate.ADDITION,
        condition=spot.condition,
        lot=spot.lot,
    )


def bags_of(draft: Draft) -> set[str]:
    """The bags of this job that hold anything by the book."""
    return {
        held.spot.place.at
        for held in draft.book.holdings()
        if held.quantity > 0 and held.spot.place == bag(held.spot.place.at)
    }


KINDS = (
    ActKind(
        kind="rebag",
        group="strip",
        request=Rebag,
        function=rebag,
        says="Pieces moved from one bag into another.",
        example={"bag": "7K3M-9HWZ", "into": "4TPA-VV4F"},
    ),
    ActKind(
        kind="stow",
        group="strip",
        request=Stow,
        function=stow,
        needs=frozenset({Needs.BOARDS}),
        says="Where tagged bags are now: a rack place, a trolley, inside another box.",
        example={"tags": ["7K3M-9HWZ"], "at": "rack 2, shelf 3"},
    ),
    ActKind(
        kind="discard",
        group="parts",
        request=Discard,
        function=discard,
        after_release=True,
        says="Thrown away for good; also what turned up, or was kept, after the release.",
        example={"bag": "7K3M-9HWZ", "condition": "damaged"},
    ),
    ActKind(
        kind="seen-empty",
        group="truth",
        request=SeenEmpty,
        function=see_empty,
        after_release=True,
        needs=frozenset({Needs.BOARDS}),
        says="Bags looked into and found empty; many at once.",
        example={"bags": ["7K3M-9HWZ", "4TPA-VV4F"]},
    ),
)
