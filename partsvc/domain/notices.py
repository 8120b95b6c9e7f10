"""What the parts desk must hear of: what was taken past it, what differs, what came back.

A notice asks for nothing in the workshop; it keeps the desk's own stock, in whatever system, from
drifting away from what was really used.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from partsvc.domain.acts.handing_out import IssueFrom
from partsvc.domain.acts.kinds import Role
from partsvc.domain.desk import WORKSHOP, Draft, Drafted
from partsvc.domain.effects_variants import Differing
from partsvc.domain.places import STOCK, Gate, outside


class NoticeKind(StrEnum):
    """Why the desk is told."""

    BENCH = "bench"
    BOUGHT = "bought"
    UNBOOKED = "unbooked-receipt"
    TAKEN = "taken"
    DIFFERS = "differs"
    RETURN = "return"


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """One thing the parts desk is told."""

    kind: NoticeKind
    part: str
    quantity: int
    words: str


_SOURCES = {
    IssueFrom.BENCH: (NoticeKind.BENCH, "from the bench assortment"),
    IssueFrom.BOUGHT: (NoticeKind.BOUGHT, "bought in"),
}


def notices(draft: Draft, drafted: Drafted, request: object) -> Iterator[Notice]:
    """What the desk is told of an act; undoing one is told by the act that was undone."""
    if drafted.reverses or draft.desk.account == WORKSHOP:
        return
    yield from _handed_out(draft, drafted, request)
    yield from _returned(draft, drafted)
    for effect in drafted.effects:
        if isinstance(effect, Differing):
            where = draft.desk.plan.positions.get(effect.position)
            place = where.where if where else effect.position
            words = f"{place}: {effect.words}. {effect.reason}"
            yield Notice(kind=NoticeKind.DIFFERS, part=effect.part, quantity=0, words=words)


def _handed_out(draft: Draft, drafted: Drafted, request: object) -> Iterator[Notice]:
    source = getattr(request, "source", None)
    if not isinstance(source, IssueFrom):
        return
    off_the_shelf: dict[str, int] = defaultdict(int)
    unbooked: dict[str, int] = defaultdict(int)
    for entry in drafted.entries:
        if entry.source.place == outside(Gate.UNBOOKED_RECEIPT):
            unbooked[entry.part] += entry.quantity
        elif entry.source.place in (STOCK, outside(Gate.RECEIPT)):
            off_the_shelf[entry.part] += entry.quantity
    for part, quantity in unbooked.items():
        called = draft.words_for(part)
        kind, words = _SOURCES.get(source, (NoticeKind.UNBOOKED, "more than the store's book had"))
        yield Notice(kind=kind, part=part, quantity=quantity, words=f"{quantity} {called}, {words}")
    if Role.PARTS in draft.doing.roles:
        return
    for part, there in off_the_shelf.items():
        quantity = there - unbooked[part]
        if quantity > 0:
            words = f"{quantity} {draft.words_for(part)} taken while the parts desk was not there"
            yield Notice(kind=NoticeKind.TAKEN, part=part, quantity=quantity, words=words)


def _returned(draft: Draft, drafted: Drafted) -> Iterator[Notice]:
    back: dict[str, int] = defaultdict(int)
    for entry in drafted.entries:
        own = entry.source.account == draft.desk.account
        if own and entry.target.account == WORKSHOP and entry.target.place == STOCK:
            back[entry.part] += entry.quantity
    for part, quantity in back.items():
        words = f"{quantity} {draft.words_for(part)} came back unused"
        yield Notice(kind=NoticeKind.RETURN, part=part, quantity=quantity, words=words)
