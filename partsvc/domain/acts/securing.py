"""How a piece becomes secured: stage by stage, with what the position wants written down."""

from __future__ import annotations

from collections.abc import Sequence

from partsvc.domain.acts.fields import Value
from partsvc.domain.acts.limited_uses import may_be_used_again
from partsvc.domain.acts.right_piece import ask_to_look, looked_at
from partsvc.domain.desk import Draft, spent, total
from partsvc.domain.effects import StageDone
from partsvc.domain.inspection import Waiting, waiting
from partsvc.domain.ledger import Holding
from partsvc.domain.parts import Rule, SpentAt
from partsvc.domain.places import Condition, loose, secured
from partsvc.domain.plan import Position, Record, StackItem
from partsvc.domain.reuse import uses_left
from partsvc.domain.staging import waiting_for
from partsvc.errors import NotFound


def recorded_enough(
    draft: Draft,
    position: Position,
    *,
    tool: str | None,
    setting: str | None,
    values: Sequence[Value],
) -> None:
    """Object when the position wants a tool setting or readings and got none."""
    if position.record is Record.SETTING and not (tool and setting):
        draft.objection(
            "setting-needed",
            f"{position.where} wants the tool's number and what it was set to: send `tool` and "
            "`setting`, once for all.",
        )
    if position.record is Record.VALUES and not values:
        draft.objection(
            "values-needed", f"{position.where} wants its readings written down: send `values`."
        )


def may_go_back_on(draft: Draft, position: Position, part: str, quantity: int) -> None:
    """Object when pieces that were only loosened must not be secured again, or not unseen.

    Pieces that were put in by hand were judged then; what was said about them is not said twice.
    """
    now = waiting(draft.posted(), part, position.id)
    _whole(draft, position, part, quantity, now)
    item = position.item(part)
    if item is not None and item.rule is Rule.REPLACE:
        _tightened_before(draft, position, part, quantity, now)
    if item is not None and item.rule is Rule.LIMITED:
        may_be_used_again(draft, position, item, _next_secured(draft, position, part, quantity))
    if item is not None and item.rule is Rule.INSPECT:
        _looked_at(draft, position, item, part, quantity, now)


def _whole(draft: Draft, position: Position, part: str, quantity: int, now: Waiting) -> None:
    hurt = [
        held
        for held in _next_secured(draft, position, part, quantity)
        if held.spot.condition is Condition.DAMAGED
    ]
    if total(hurt) > now.fitted[Condition.DAMAGED]:
        draft.objection(
            "damaged",
            f"{total(hurt)} {draft.words_for(part)} at {position.where} broke or failed "
            "inspection. Take it out and fit a good one.",
        )


def _tightened_before(
    draft: Draft, position: Position, part: str, quantity: int, now: Waiting
) -> None:
    lots = sorted({held.spot.lot for held in draft.book.at(loose(position.id), part)})
    fresh = sum(uses_left(draft.posted(), part, lot) for lot in lots)
    said = now.fitted[Condition.USED] + now.fitted[Condition.DAMAGED]
    if quantity > fresh + said:
        draft.objection(
            "single-use",
            f"{draft.words_for(part)} is single-use and was tightened before: take it out of "
            f"{position.where} and fit a new one.",
        )


def _looked_at(
    draft: Draft, position: Position, item: StackItem, part: str, quantity: int, now: Waiting
) -> None:
    again = quantity - sum(now.fitted.values())
    lots = [lot for lot, waits in now.loosened.items() if waits]
    if again > sum(max(0, looked_at(draft, part, lot)) for lot in lots):
        draft.objection("not-inspected", ask_to_look(draft, position, item, part))


def bring_to_stage(
    draft: Draft,
    position: Position,
    part: str,
    quantity: int,
    stage: str | None,
    how: dict[str, str],
) -> None:
    """Record the stages reached; the last one makes the pieces secured."""
    stages = [one.id for one in position.stages]
    if stage is None or not stages:
        reached = stages
    else:
        reached = [_known(draft, position, stage)]
        _in_order(draft, position, part, quantity, stage)
    for name in reached or ["secured"]:
        done = StageDone(position=position.id, stage=name, part=part, quantity=quantity, **how)
        draft.effect(done)
    if not stages or stages[-1] in reached:
        _make_secured(draft, position, part, quantity)


def _known(draft: Draft, position: Position, stage: str) -> str:
    known = [one.id for one in position.stages]
    if stage not in known:
        raise NotFound(
            f"{position.where} has no stage {stage}; it has: {', '.join(known)}.", stage=stage
        )
    return stage


def _in_order(draft: Draft, position: Position, part: str, quantity: int, stage: str) -> None:
    """Object when an earlier stage is not done for as many pieces."""
    for earlier in position.stages:
        if earlier.id == stage:
            return
        done = waiting_for(
            stage,
            after=earlier.id,
            position=position.id,
            part=part,
            posted=draft.desk.posted,
            happened=draft.desk.happened,
        )
        if done < quantity:
            draft.objection(
                "stage-first",
                f"{position.where}: do “{earlier.words}” first; it is done for {done} of the "
                "pieces that wait there.",
                stage=earlier.id,
            )


def _next_secured(draft: Draft, position: Position, part: str, quantity: int) -> list[Holding]:
    """The pieces taken to be secured next: whole ones first, then those that came new."""
    there = draft.book.at(loose(position.id), part)
    return draft.draw(
        there,
        quantity,
        prefer=lambda one: (one.spot.condition is Condition.DAMAGED, one.spot.lot == position.id),
    )


def _make_secured(draft: Draft, position: Position, part: str, quantity: int) -> None:
    facts = draft.desk.parts.get(part)
    for held in _next_secured(draft, position, part, quantity):
        condition = spent(held.spot.condition, facts, SpentAt.SECURE)
        draft.carry(held, secured(position.id), condition=condition)
