"""How a piece becomes secured: stage by stage, with what the position wants written down."""

from __future__ import annotations

from collections.abc import Sequence

from partsvc.domain.acts.fields import Value
from partsvc.domain.desk import Draft, spent
from partsvc.domain.effects import StageDone
from partsvc.domain.ledger import Posted
from partsvc.domain.parts import Rule, SpentAt
from partsvc.domain.places import loose, secured
from partsvc.domain.plan import Position, Record
from partsvc.domain.reuse import uses_left
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


def tightened_before(draft: Draft, position: Position, part: str, quantity: int) -> None:
    """Object when single-use pieces that were only loosened are tightened again."""
    item = position.item(part)
    if item is None or item.rule is not Rule.REPLACE:
        return
    posted = (*draft.desk.posted, *(Posted(0, draft.doing.key, one) for one in draft.entries))
    lots = sorted({held.spot.lot for held in draft.book.at(loose(position.id), part)})
    fresh = sum(uses_left(posted, part, lot) for lot in lots)
    already_said = any(getattr(one, "rule", "") == "single-use" for one in draft.effects)
    if quantity > fresh and not already_said:
        draft.objection(
            "single-use",
            f"{draft.words_for(part)} is single-use and was tightened before: take it out of "
            f"{position.where} and fit a new one.",
        )


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
        done = draft.desk.state.stages[position.id, earlier.id, part]
        through = draft.desk.state.stages[position.id, stage, part]
        if done < through + quantity:
            draft.objection(
                "stage-first",
                f"{position.where}: do “{earlier.words}” first; it is done for {done} pieces so "
                "far.",
                stage=earlier.id,
            )


def _make_secured(draft: Draft, position: Position, part: str, quantity: int) -> None:
    facts = draft.desk.parts.get(part)
    there = draft.book.at(loose(position.id), part)
    for held in draft.draw(there, quantity, prefer=lambda one: (one.spot.lot == position.id,)):
        condition = spent(held.spot.condition, facts, SpentAt.SECURE)
        draft.carry(held, secured(position.id), condition=condition)
