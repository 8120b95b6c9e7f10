"""Numbers accepted on earlier jobs of a vehicle, taken along when the next one is opened."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from dataclasses import replace

from partsvc.domain.effects import Effect
from partsvc.domain.effects_numbers import NumberAccepted, NumberRefused
from partsvc.domain.plan import Plan
from partsvc.store.numbers import SaidOnJob, said_of_numbers
from partsvc.work.service import Service


def numbers_before(
    service: Service, db: sqlite3.Connection, vehicle: str, procedure: str, plan: Plan
) -> tuple[Effect, ...]:
    """What the opening act says of numbers: that of the vehicle's earlier jobs, with its job."""
    if not vehicle:
        return ()
    return _of_this_plan(said_of_numbers(db, service.site, vehicle), procedure, plan)


def _of_this_plan(said: Iterable[SaidOnJob], procedure: str, plan: Plan) -> tuple[Effect, ...]:
    """The last word on each number, for the positions that this plan has too.

    A position is known by its id and its part, and only within one procedure: another one may call
    something else by the same id. A job on no procedure makes up ids that nobody else has.
    """
    found: dict[tuple[str, str, str], Effect] = {}
    for one in said:
        effect = one.effect
        if not isinstance(effect, NumberAccepted | NumberRefused):
            continue
        position = plan.positions.get(effect.position)
        same = one.procedure in ("", procedure)
        if same and position and any(item.part == effect.part for item in position.stack):
            before = effect.before or one.job_number
            key = (effect.position, effect.part, effect.number)
            found[key] = replace(effect, before=before)
    return tuple(found.values())
