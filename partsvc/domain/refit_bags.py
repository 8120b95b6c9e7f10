"""A step of the refit by its bags: what comes out of each, and what one word can say of all of it.

At the bench a bag is scanned and one tap follows. What wants its own look (critical, or with
readings of its own) is only hand-started by that tap, and is told position by position.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from partsvc.domain.desk import shown_bag
from partsvc.domain.plan import Record
from partsvc.domain.refit_list import RefitList, RefitPosition, RefitStep, Source
from partsvc.domain.strip_list import TemporaryLine


@dataclass(frozen=True, slots=True, kw_only=True)
class OutOfBag:
    """Pieces of one part that go from the bag to one position."""

    position: RefitPosition
    quantity: int
    called: str
    condition: str
    instead_of: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BagOfStep:
    """A bag of a step, or a board: `codes` are the tags on it that may be scanned.

    `together` are the pieces that one tap secures, `torques` what the source states for those that
    want the tool's setting written down. `first_here` are the positions shown with this bag.
    """

    code: str
    codes: tuple[str, ...]
    shown: str
    stowed_at: str
    pieces: int
    together: int
    torques: tuple[str, ...]
    out: tuple[OutOfBag, ...]
    first_here: tuple[RefitPosition, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """A temporary item that has to be off before a step begins, and the step it was put on at."""

    step: str
    number: int
    item: TemporaryLine


def own_look(position: RefitPosition) -> bool:
    """Whether a position is told by itself rather than with its whole step."""
    return position.critical or position.record == Record.VALUES.value


def bags_of(step: RefitStep, boards: Mapping[str, str]) -> tuple[BagOfStep, ...]:
    """The bags that pieces of the step lie in, in the order of its positions."""
    out: dict[str, list[tuple[RefitPosition, Source]]] = defaultdict(list)
    first: dict[str, str] = {}
    for position in step.positions:
        for source in position.sources:
            if source.bag:
                plain = source.bag.replace("-", "")
                code = boards.get(plain, plain)
                out[code].append((position, source))
                first.setdefault(position.id, code)
    return tuple(_bag(code, found, first) for code, found in out.items())


def _bag(
    code: str, found: Sequence[tuple[RefitPosition, Source]], first: Mapping[str, str]
) -> BagOfStep:
    said_together = [(where, one) for where, one in found if not own_look(where)]
    positions = {where.id: where for where, _ in found}
    return BagOfStep(
        code=code,
        codes=tuple(dict.fromkeys((code, *(one.bag.replace("-", "") for _, one in found)))),
        shown=shown_bag(code),
        stowed_at=next((one.stowed_at for _, one in found if one.stowed_at), ""),
        pieces=sum(one.quantity for _, one in found),
        together=sum(one.quantity for _, one in said_together),
        torques=tuple(dict.fromkeys(filter(None, (setting(where) for where, _ in said_together)))),
        out=tuple(_out(where, one) for where, one in found),
        first_here=tuple(one for one in positions.values() if first[one.id] == code),
    )


def _out(position: RefitPosition, source: Source) -> OutOfBag:
    names = {line.part: line.called for line in position.stack}
    return OutOfBag(
        position=position,
        quantity=source.quantity,
        called=names.get(source.part, source.part),
        condition=source.condition,
        instead_of=names.get(source.instead_of, source.instead_of),
    )


def setting(position: RefitPosition) -> str:
    """The torque of its source, where the tool's setting is written down; empty for all others."""
    if position.record != Record.SETTING.value:
        return ""
    return next((stage.torque_nm for stage in position.stages if stage.torque_nm), "?")


def due_before(work: RefitList) -> Mapping[str, tuple[Due, ...]]:
    """For each step what is still on the vehicle and has to come off before it begins."""
    found: dict[str, list[Due]] = defaultdict(list)
    for step in work.steps:
        for item in step.take_off:
            if item.on_vehicle and item.off_before not in ("", step.id):
                found[item.off_before].append(Due(step=step.id, number=step.number, item=item))
    return {name: tuple(due) for name, due in found.items()}
