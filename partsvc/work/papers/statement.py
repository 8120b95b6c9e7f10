"""What the releaser said: the fixed questions with their answers, what to think of, old parts."""

from __future__ import annotations

from collections import Counter

from labels.paper import Align, Block, Cell, Column, Heading, Paragraph, Strong, Table
from partsvc.domain.desk import Desk
from partsvc.domain.effects import Released
from partsvc.domain.look import called
from partsvc.domain.old_parts import Becomes, OldPart, old_parts
from partsvc.domain.places import SCRAP
from partsvc.domain.release_questions import QUESTIONS, Reminder

_ANSWERS = {True: "yes", False: "NO", None: "not asked then"}
_BECAME = {
    Becomes.DISCARDED.value: "Old parts, discarded with this release",
    Becomes.KEPT.value: "Old parts, kept for warranty",
}


def statement_blocks(
    said: Released, reminders: tuple[Reminder, ...], old: tuple[tuple[str, int, str], ...]
) -> list[Block]:
    """The statement as it stands beside the two lines of the reconciliation."""
    rows: list[tuple[Cell, ...]] = []
    for question in QUESTIONS:
        answer = getattr(said, question.id)
        words = _ANSWERS[answer]
        rows.append((question.asks, words if answer else Strong(words)))
    blocks: list[Block] = [
        Table((Column("Asked before the release", share=2.4), Column("Answer", share=1)), (*rows,))
    ]
    if reminders:
        blocks.append(Heading("To bear in mind", 2))
        blocks += [Paragraph(one.words) for one in reminders]
    if old:
        blocks.append(_old_parts_table(said, old))
    return blocks


def _old_parts_table(said: Released, old: tuple[tuple[str, int, str], ...]) -> Table:
    """Each old part once for each bag that it lies in; those thrown away lie in none."""
    counted = Counter[tuple[str, str]]()
    for name, quantity, bag in old:
        counted[name, bag] += quantity
    kept = any(bag for _, bag in counted)
    columns = (
        Column(_BECAME[said.old_parts], share=2.4),
        Column("No.", width_mm=14, align=Align.RIGHT),
        *((Column("Bag", share=1),) if kept else ()),
    )
    rows = [
        (name, str(number), *((bag,) if kept else ()))
        for (name, bag), number in sorted(counted.items())
    ]
    return Table(columns, tuple(rows))


def old_parts_of(desk: Desk, said: Released, act: str) -> tuple[tuple[str, int, str], ...]:
    """The old parts a release spoke of: what it is called, how many, in which bag they lie."""
    if said.old_parts == Becomes.KEPT:
        return tuple(map(_kept, old_parts(desk)))
    return tuple(
        (called(desk, one.entry.part), one.entry.quantity, "")
        for one in desk.posted
        if one.act == act and one.entry.target.place == SCRAP
    )


def _kept(one: OldPart) -> tuple[str, int, str]:
    where = f"{one.bag}, {one.stowed_at}" if one.stowed_at else one.bag
    return one.called, one.quantity, where
