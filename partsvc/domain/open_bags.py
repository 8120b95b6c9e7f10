"""The open bags of a job, so that one whose tag is lost or soaked can be found again by its look.

By contents and last place: whoever holds a bag without a tag looks for the one that is like it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.job_facts import JobFacts
from partsvc.domain.look import called
from partsvc.domain.lost_tags import doubts
from partsvc.domain.places import PlaceKind, bag
from partsvc.domain.records import Says
from partsvc.domain.tag_kinds import TagKind, bag_words
from partsvc.domain.tag_look import Content, contents_of


@dataclass(frozen=True, slots=True)
class Moved:
    """When a bag was last moved from or into, and by whom."""

    seq: int
    at: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenBag:
    """A bag that holds something by the book."""

    code: str
    shown: str
    kind: str
    called: Annotated[str, Says("what carries the tag: a bag, or a pocket of a board")]
    pieces: int
    words: Annotated[str, Says("what is in it")]
    steps: Annotated[tuple[str, ...], Says("the steps its pieces came off at")]
    contents: tuple[Content, ...]
    stowed_at: Annotated[str, Says("where it was put last; empty if nobody said")]
    last_touched: Annotated[str, Says("when it was last moved from or into")]
    last_touched_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DoubtfulBag:
    """A bag with a new tag of which nobody is sure which one it is."""

    code: str
    shown: str
    words: str
    counted: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenBags:
    """The open bags of a job, those touched last first, and those in doubt."""

    job: JobFacts
    bags: tuple[OpenBag, ...]
    in_doubt: tuple[DoubtfulBag, ...]


def open_bags(job: JobFacts, desk: Desk, moved: Mapping[str, Moved]) -> OpenBags:
    """Every bag that holds something; `moved` tells of each when it was last touched."""
    codes = {
        held.spot.place.at
        for held in desk.book.holdings()
        if held.quantity > 0
        and held.spot.account == desk.account
        and held.spot.place.kind is PlaceKind.BAG
    }
    last = Moved(0, "", "")
    ordered = sorted(codes, key=lambda code: (-moved.get(code, last).seq, code))
    return OpenBags(
        job=job,
        bags=tuple(_open_bag(desk, code, moved.get(code, last)) for code in ordered),
        in_doubt=tuple(
            DoubtfulBag(
                code=said.tag, shown=shown_bag(said.tag), words=said.words, counted=said.counted
            )
            for _, said in doubts(desk)
        ),
    )


def _open_bag(desk: Desk, code: str, moved: Moved) -> OpenBag:
    contents = contents_of(desk, code)
    numbers = sorted({one.step_number for one in contents if one.step})
    titles = {step.number: f"{step.number} {step.title}" for step in desk.plan.steps}
    number_of: dict[str, int] = {}
    for held in desk.book.at(bag(code)):
        number_of[held.part] = number_of.get(held.part, 0) + held.quantity
    return OpenBag(
        code=code,
        shown=shown_bag(code),
        kind=desk.state.tags.get(code, TagKind.BAG),
        called=bag_words(desk, code),
        pieces=sum(number_of.values()),
        words=", ".join(f"{count} {called(desk, part)}" for part, count in number_of.items()),
        steps=tuple(titles[number] for number in numbers),
        contents=contents,
        stowed_at=desk.state.stowed.get(code, ""),
        last_touched=moved.at,
        last_touched_by=moved.by,
    )
