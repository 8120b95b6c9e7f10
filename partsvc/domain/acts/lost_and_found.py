"""Lost and found: reported at once, searched for, and settled whenever the piece turns up.

A loss holds the job until it is found or quality decides. What is found after the release settles
there without reopening: the release stays as it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.bags import from_bag
from partsvc.domain.acts.between import settle_with_bay
from partsvc.domain.acts.fields import BagCode, Lot, PartNumber, Where
from partsvc.domain.acts.kinds import ActKind, Needs
from partsvc.domain.desk import Draft, shown_bag, total, worn
from partsvc.domain.effects_broken import RestFound
from partsvc.domain.fragments import Fragment, fragments
from partsvc.domain.ledger import Holding
from partsvc.domain.places import SCRAP, Place, PlaceKind, loose, lost, own_hole, secured
from partsvc.domain.records import Quantity, Says, Words
from partsvc.errors import Invalid, Refused


@dataclass(frozen=True, slots=True, kw_only=True)
class Lose:
    """Pieces that should be here cannot be found."""

    part: PartNumber
    bag: BagCode | None = None
    position: Where | None = None
    lot: Lot | None = None
    quantity: Quantity = 1
    words: Annotated[Words | None, Says("what happened")] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Find:
    """Lost pieces turned up; they lie in a bag now, or were thrown away at once.

    With `fragment` it is the rest of a broken piece that was taken out, named by its position or
    by the bag it broke in.
    """

    part: PartNumber | None = None
    bag: BagCode | None = None
    lot: Lot | None = None
    quantity: Quantity = 1
    words: Annotated[Words | None, Says("where it was found")] = None
    position: Annotated[Where | None, Says("the position it belongs to")] = None
    fragment: Annotated[bool, Says("it is the rest of a broken piece")] = False
    discard: Annotated[bool, Says("thrown away at once, into no bag")] = False


def lose(draft: Draft, act: Lose) -> None:
    """Pieces that should be somewhere cannot be found."""
    if (act.bag is None) == (act.position is None):
        raise Invalid("Say where they should be: in a `bag` or at a `position`.", field="bag")
    if act.bag is not None:
        place = draft.use_bag(act.bag)
        drawn = from_bag(draft, place, part=act.part, lot=act.lot, quantity=act.quantity)
    else:
        drawn = _at_position(draft, act)
    for held in drawn:
        condition = worn(held.spot.condition, held.spot.place.kind)
        draft.carry(held, lost(str(held.spot.place)), condition=condition)
    draft.warn(
        "The job is held until it is found, or until two people have searched and quality decides. "
        "Search now, and record where and what was found."
    )


def _at_position(draft: Draft, act: Lose) -> list[Holding]:
    position = draft.position(act.position or "")
    there = [
        held
        for place in (loose(position.id), own_hole(position.id), secured(position.id))
        for held in draft.book.at(place, act.part)
        if act.lot in (None, held.spot.lot)
    ]
    if total(there) < act.quantity:
        raise draft.refusal(
            "more-than-are-there",
            f"By the book {total(there)} {draft.words_for(act.part)} are at {position.where}. "
            "If they were never there, record them as missing.",
            there=total(there),
        )
    return draft.draw(there, act.quantity)


def find(draft: Draft, act: Find) -> None:
    """Lost pieces turned up: into a bag, or to the scrap at once."""
    if act.fragment:
        _rest_taken_out(draft, act)
        return
    if act.part is None:
        raise Invalid("Say which `part` was found.", field="part")
    target = _laid_down(draft, act)
    there = [
        held
        for held in draft.book.holdings()
        if held.quantity > 0
        and held.spot.place.kind is PlaceKind.LOST
        and held.part == act.part
        and (act.lot or act.position) in (None, held.spot.lot)
    ]
    if total(there) < act.quantity:
        raise draft.refusal(
            "nothing-lost",
            f"The book has {total(there)} {draft.words_for(act.part)} lost. Record what you found "
            "as a stray: it will be matched later.",
            there=total(there),
        )
    for held in draft.draw(sorted(there, key=lambda one: one.spot), act.quantity):
        draft.carry(held, target)
    settle_with_bay(draft, act.part, act.quantity, target)
    if draft.desk.state.released is not None:
        draft.warn("It is settled there; the job stays released.")


def _laid_down(draft: Draft, act: Find) -> Place:
    if act.discard == (act.bag is not None):
        raise Invalid(
            "Say where it is now: in a `bag`, or thrown away at once (`discard`).", field="bag"
        )
    return draft.use_bag(act.bag) if act.bag else SCRAP


def _rest_taken_out(draft: Draft, act: Find) -> None:
    """The rest of a broken piece was taken out; what breaks first is taken to be found first."""
    if (act.bag is None) == (act.position is None):
        raise Invalid("Say where it broke: at a `position` or in a `bag`.", field="position")
    where = draft.position(act.position).where if act.position else _bag_words(draft, act)
    wanted = [one for one in fragments(draft.desk.state) if _fits(one, act)]
    # What was known to be in the vehicle is found before what nobody could find.
    wanted.sort(key=lambda one: one.lost)
    if sum(one.quantity for one in wanted) < act.quantity:
        raise _no_rest(draft, wanted, where)
    left = act.quantity
    for one in wanted:
        taken = min(left, one.quantity)
        left -= taken
        if taken:
            draft.effect(_found(one, taken, act))


def _bag_words(draft: Draft, act: Find) -> str:
    draft.use_bag(act.bag or "")
    return f"bag {shown_bag(act.bag or '')}"


def _fits(one: Fragment, act: Find) -> bool:
    here = one.position == act.position if act.position else one.bag == act.bag
    return here and act.part in (None, one.part) and act.lot in (None, one.lot, one.broke)


def _found(one: Fragment, taken: int, act: Find) -> RestFound:
    return RestFound(
        broke=one.broke,
        part=one.part,
        quantity=taken,
        lost=one.lost,
        words=act.words or "",
    )


def _no_rest(draft: Draft, wanted: list[Fragment], where: str) -> Refused:
    there = sum(one.quantity for one in wanted)
    return draft.refusal(
        "nothing-lost",
        f"{where}: the rest of {there} broken pieces is to be taken out by the book. Record what "
        "you found as a stray: it will be matched later.",
        there=there,
    )


KINDS = (
    ActKind(
        kind="lose",
        group="truth",
        request=Lose,
        function=lose,
        says="Pieces that should be here cannot be found; the job is held.",
        example={"part": "KF-1110", "bag": "7K3M-9HWZ", "words": "fell into the sill"},
    ),
    ActKind(
        kind="find",
        group="truth",
        request=Find,
        function=find,
        after_release=True,
        needs=frozenset({Needs.OTHER_JOB}),
        says="Lost pieces, or the rest of a broken one, turned up; also after the release.",
        example={"part": "KF-1110", "bag": "7K3M-9HWZ"},
    ),
)
