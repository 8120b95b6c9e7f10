"""Kits: ordered and stored as one number, handed out as the pieces they hold."""

from __future__ import annotations

from partsvc.domain.accepted_numbers import is_kit
from partsvc.domain.desk import Draft, total
from partsvc.domain.effects_supply import BatchIssued
from partsvc.domain.places import Condition, Gate, Place


def unpack(draft: Draft, part: str, target: Place) -> None:
    """What was just handed out into a bag, if it is a kit, lies there as what the kit holds.

    The kits leave by the gate and their contents come in by it, under the same issue and of the
    same batch. A kit that this job's plan names as one piece stays one.
    """
    kit = draft.desk.parts.get(part)
    if kit is None or not is_kit(kit) or _planned_whole(draft, part):
        return
    issued = [held for held in draft.book.at(target, part) if held.spot.lot == draft.doing.key]
    for held in issued:
        draft.gate_out(held, gate=Gate.UNPACKED)
    for content in kit.contents:
        draft.gate_in(
            content.part,
            total(issued) * content.quantity,
            target,
            gate=Gate.UNPACKED,
            condition=Condition.NEW,
            lot=draft.doing.key,
        )
        _of_the_same_batch(draft, part, content.part)
    named = ", ".join(
        f"{total(issued) * content.quantity} {draft.words_for(content.part)}"
        for content in kit.contents
    )
    draft.warn(f"{draft.words_for(part)} is a kit; in the bag lie now: {named}.")


def _planned_whole(draft: Draft, part: str) -> bool:
    return any(position.item(part) for position in draft.desk.plan.positions.values())


def _of_the_same_batch(draft: Draft, kit: str, part: str) -> None:
    of_kit = [one for one in draft.effects if isinstance(one, BatchIssued) and one.part == kit]
    for one in of_kit:
        draft.effect(BatchIssued(part=part, batch=one.batch, use_by=one.use_by))
