"""Parts a person would confuse do not go into one bag or pocket: said at the act, not refused."""

from __future__ import annotations

from itertools import combinations

from partsvc.domain.desk import Draft, shown_bag
from partsvc.domain.look import alike_among, shape_of
from partsvc.domain.lookalike import difference
from partsvc.domain.places import PlaceKind, bag
from partsvc.domain.tag_kinds import for_old_parts


def keep_apart(draft: Draft) -> None:
    """Warn of look-alikes that this act laid into one bag, naming both."""
    if draft.reversal:
        return
    laid: dict[str, set[str]] = {}
    for entry in draft.entries:
        place = entry.target.place
        if place.kind is PlaceKind.BAG and not for_old_parts(draft.desk, place.at):
            laid.setdefault(place.at, set()).add(entry.part)
    for code, parts in sorted(laid.items()):
        _in_one_bag(draft, code, parts)


def _in_one_bag(draft: Draft, code: str, laid: set[str]) -> None:
    inside = {held.part for held in draft.book.at(bag(code))}
    for group in alike_among(inside, draft.desk.parts):
        for one, other in combinations(sorted(group), 2):
            if {one, other} & laid:
                _told(draft, code, one, other)


def _told(draft: Draft, code: str, one: str, other: str) -> None:
    known = draft.desk.parts
    draft.warn(
        f"Bag {shown_bag(code)} holds parts that are easily confused: {draft.words_for(one)} and "
        f"{draft.words_for(other)} ({difference(shape_of(known[one]), shape_of(known[other]))}). "
        "Put one of them into another bag or pocket."
    )
