"""A tag lost or soaked: the bag is counted blind and tagged anew; in doubt nothing is guessed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.counting import CountedPart, tell
from partsvc.domain.acts.fields import BagCode
from partsvc.domain.acts.kinds import ActKind
from partsvc.domain.acts.known import heard_of
from partsvc.domain.desk import Draft, PastAct, shown_bag, total
from partsvc.domain.effects import CountTaken, Stowed, TagUsed
from partsvc.domain.effects_bags import TagGoodAgain, TagInDoubt, TagReplaced
from partsvc.domain.lost_tags import doubts
from partsvc.domain.places import Place, bag
from partsvc.domain.records import AtMost, Says, Words
from partsvc.domain.tag_kinds import TagKind
from partsvc.errors import Invalid


@dataclass(frozen=True, slots=True, kw_only=True)
class Retag:
    """A bag whose tag was lost or soaked gets a new one, counted blind at the same time."""

    into: Annotated[BagCode, Says("the new tag on the bag")]
    bag: Annotated[BagCode | None, Says("the old tag, from the list of open bags")] = None
    counted: Annotated[
        tuple[CountedPart, ...], AtMost(100), Says("what is in it; leave empty for nothing there")
    ] = ()
    doubt: Annotated[
        Words | None, Says("when it is not sure which bag it is: why; nothing is moved then")
    ] = None


def retag(draft: Draft, act: Retag) -> None:
    """All that the book has under the old tag goes over to the new one; the old one is dead."""
    counted = _counted(draft, act)
    if act.doubt is not None:
        _in_doubt(draft, act, act.doubt, counted)
        return
    if act.bag is None:
        raise Invalid(
            "Say the old tag in `bag`: look at the open bags by contents and last place. If it is "
            "not sure which one it is, say so in `doubt`.",
            field="bag",
        )
    if act.bag == act.into:
        raise Invalid("The new tag is the old one. Scan the new tag.", field="into")
    old = draft.use_bag(act.bag)
    new = _new_tag(draft, act.into, draft.desk.state.tags.get(act.bag, TagKind.BAG))
    for held in draft.book.at(old):
        draft.carry(held, new)
    draft.effect(TagReplaced(tag=act.bag, into=act.into))
    stood = draft.desk.state.stowed.get(act.bag)
    if stood:
        draft.effect(Stowed(tag=act.into, at=stood))
    _compare(draft, act.into, counted)


def _counted(draft: Draft, act: Retag) -> dict[str, int]:
    counted = {one.part: one.quantity for one in act.counted}
    if len(counted) < len(act.counted):
        raise Invalid("The same part is counted twice; add the numbers up.", field="counted")
    for part in counted:
        heard_of(draft, part)
    return counted


def _in_doubt(draft: Draft, act: Retag, doubt: str, counted: dict[str, int]) -> None:
    draft.use_bag(act.into)
    draft.effect(
        TagInDoubt(
            tag=act.into,
            words=doubt,
            counted=", ".join(f"{n} {draft.words_for(part)}" for part, n in counted.items() if n),
            perhaps=act.bag or "",
        )
    )
    draft.warn(
        "Nothing was moved in the book. Put the bag aside with its new tag; quality will look."
    )


def _new_tag(draft: Draft, code: str, kind: str) -> Place:
    """The new tag, for the same kind of bag; one that is on another bag already is no new one."""
    place = draft.use_bag(code, kind)
    doubtful = {said.tag for _, said in doubts(draft.desk)}
    inside = draft.book.at(place)
    if inside or (code in draft.desk.state.tags and code not in doubtful):
        words = ", ".join(f"{held.quantity} {draft.words_for(held.part)}" for held in inside)
        draft.objection(
            "tag-in-use",
            f"Tag {shown_bag(code)} is on another bag already ({words or 'empty by the book'}). "
            "Take a blank tag for this one.",
        )
    if draft.desk.state.tags.get(code, kind) != kind:
        draft.effect(TagUsed(tag=code, kind=kind))
    return place


def _compare(draft: Draft, code: str, counted: dict[str, int]) -> None:
    """What was counted stands beside the book, under the new tag."""
    held = draft.book.at(bag(code))
    for part in sorted({one.part for one in held} | set(counted)):
        book = total(one for one in held if one.part == part)
        taken = CountTaken(bag=code, part=part, counted=counted.get(part, 0), book=book)
        draft.effect(taken)
        tell(draft, taken)


def tags_good_again(draft: Draft, past: PastAct) -> None:
    """A replacement that is undone makes the old tag good again."""
    for happened, said in draft.desk.state.each(TagReplaced):
        if happened.act == past.key:
            draft.effect(TagGoodAgain(tag=said.tag))


KINDS = (
    ActKind(
        kind="retag",
        group="truth",
        request=Retag,
        function=retag,
        says="A bag's tag was lost or soaked: a new tag, and what is in it counted blind.",
        example={
            "bag": "7K3M-9HWZ",
            "into": "4TPA-VV4F",
            "counted": [{"part": "KF-1110", "quantity": 6}],
        },
    ),
)
