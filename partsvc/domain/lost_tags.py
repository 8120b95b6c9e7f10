"""Tags that were lost or soaked: which are dead, what their bags carry now, and where doubt is."""

from __future__ import annotations

from partsvc.domain.desk import Desk
from partsvc.domain.effects_bags import TagInDoubt, TagReplaced
from partsvc.domain.job_state import Happened


def dead_tags(desk: Desk) -> frozenset[str]:
    """The tags that were replaced, and whose bags were not used under them any more."""
    return frozenset(
        said.tag
        for happened, said in desk.state.each(TagReplaced)
        if desk.touched.get(f"bag:{said.tag}", 0) <= happened.seq
    )


def carries_now(desk: Desk, code: str) -> str:
    """The tag that the bag of a dead one carries now; empty if the tag was never replaced."""
    into = {said.tag: said.into for _, said in desk.state.each(TagReplaced)}
    seen = {code}
    while code in into and into[code] not in seen:
        code = into[code]
        seen.add(code)
    return code if len(seen) > 1 else ""


def doubts(desk: Desk) -> tuple[tuple[Happened, TagInDoubt], ...]:
    """Bags with a new tag of which nobody has said yet which bag they are; the newest doubt each.

    A doubt is over once an old tag was replaced by the new one.
    """
    known = {said.into: happened.seq for happened, said in desk.state.each(TagReplaced)}
    found = {
        said.tag: (happened, said)
        for happened, said in desk.state.each(TagInDoubt)
        if known.get(said.tag, 0) <= happened.seq
    }
    return tuple(found.values())
