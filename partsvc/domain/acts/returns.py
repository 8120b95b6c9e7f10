"""New parts that are not needed go back to the store: some, all of a bag, or all of the job."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.fields import PartNumber, SomePieces
from partsvc.domain.acts.kinds import SUPPLY, ActKind
from partsvc.domain.desk import WORKSHOP, Draft, total
from partsvc.domain.ledger import Holding, Spot
from partsvc.domain.places import STOCK, Condition, Place, PlaceKind
from partsvc.domain.progress import not_back
from partsvc.domain.records import Code, Says
from partsvc.errors import Invalid


@dataclass(frozen=True, slots=True, kw_only=True)
class Return:
    """New parts not needed go back to the store."""

    bag: Annotated[Code | None, Says("the tag of the bag; all bags of the job if left out")] = None
    part: Annotated[PartNumber | None, Says("all unused new pieces if left out")] = None
    quantity: SomePieces | None = None


def give_back(draft: Draft, act: Return) -> None:
    """New parts not needed return to the store; what was used stays out of it."""
    if act.quantity is not None and act.part is None:
        raise Invalid("Say which `part` so many are of.", field="part")
    source = draft.use_bag(act.bag) if act.bag is not None else None
    unused = _unused(draft, source, act.part or "")
    wanted = act.quantity or total(unused)
    if not unused or wanted > total(unused):
        raise draft.refusal("not-new", _not_so_many(draft, act, unused), there=total(unused))
    drawn = draft.draw(unused, wanted)
    if act.part is None:
        _still_wanted(draft, drawn)
    for held in drawn:
        shelf = Spot(WORKSHOP, STOCK, Condition.NEW, held.spot.lot)
        draft.move(held.part, held.quantity, held.spot, shelf)


def _unused(draft: Draft, source: Place | None, part: str) -> list[Holding]:
    """New pieces in the bag, or in any bag of the job, in a settled order."""
    found = [
        held
        for held in draft.book.holdings()
        if held.quantity > 0
        and held.spot.account == draft.desk.account
        and held.spot.place.kind is PlaceKind.BAG
        and held.spot.condition is Condition.NEW
        and source in (None, held.spot.place)
        and part in ("", held.part)
    ]
    return sorted(found, key=lambda held: (held.part, held.spot))


def _not_so_many(draft: Draft, act: Return, unused: list[Holding]) -> str:
    where = "this bag" if act.bag is not None else "the bags of this job"
    what = f"new {draft.words_for(act.part)}" if act.part else "new pieces"
    asked = f", not {act.quantity}" if act.quantity else ""
    return (
        f"By the book {total(unused)} {what} are in {where}{asked}. Only unused new parts go back "
        "to the store; discard the others."
    )


def _still_wanted(draft: Draft, drawn: list[Holding]) -> None:
    """A word, when what goes back is still missing somewhere on the vehicle."""
    parts = {held.part for held in drawn}
    for step in draft.desk.plan.steps:
        for position, off in not_back(step, draft.book):
            if any(position.item(part) for part in parts):
                draft.warn(f"Step {step.number}: {off} not back yet at {position.where}.")


KINDS = (
    ActKind(
        kind="return",
        group="parts",
        request=Return,
        function=give_back,
        roles=SUPPLY,
        says="New parts not needed go back to the store: of a part, of a bag, or all of the job.",
        example={"bag": "4TPA-VV4F", "part": "KF-1010"},
    ),
)
