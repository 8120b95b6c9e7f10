"""What is said to be startable can be started, and what is said to wait is refused for that."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest
from ledger_bench import Bench
from random_acts import request
from random_moment import World

from partsvc.domain.exposed import RULE
from partsvc.domain.places import loose, secured
from partsvc.domain.plan import Step
from partsvc.domain.records import Plain
from partsvc.domain.waiting import StepStanding, WaitsFor, Way
from partsvc.errors import PartsvcError, Refused
from partsvc.work.posting import carry_out
from partsvc.work.waiting import waiting_list

ENDS = ("release", "hand-over-incomplete")
GATES = ("hold-open", "step-first", "job-stopped", RULE)


class _Undone(Exception):
    """The act went through, and is not kept."""


def tried(bench: Bench, job: str, kind: str, **members: Plain) -> Refused | None:
    """Why an act would be refused now; None when it would be taken. Nothing is recorded."""
    payload = {"key": bench.new_key(), "kind": kind, **members}
    try:
        with bench.service.database.writing() as db:
            carry_out(bench.service, db, job, bench.sender("tech"), payload)
            raise _Undone
    except _Undone:
        return None
    except Refused as refused:
        return refused


def stopped_by_gates(bench: Bench, job: str, step: StepStanding, planned: Step) -> bool | None:
    """Whether the gates stop every act at the step's open positions; None if there are none."""
    desk = bench.look(job)
    answers = []
    for position in planned.positions:
        in_place = (secured(position.id), loose(position.id))
        on = sum(desk.book.count(place) for place in in_place)
        if step.way is Way.STRIP and on and not position.loosen_only:
            answers.append(tried(bench, job, "remove", position=position.id, bag=bench.tags[-1]))
        if step.way is Way.REFIT and on < position.pieces() and not position.loosen_only:
            answers.append(tried(bench, job, "fit", position=position.id, bag=bench.tags[-1]))
    if not answers:
        return None
    return all(one is not None and one.reason in GATES for one in answers)


@pytest.mark.parametrize("seed", range(6))
def test_the_list_and_the_gates_say_the_same(tmp_path: Path, seed: int) -> None:
    bench = Bench.opened(tmp_path)
    world, rng, compared = World.begun(bench), Random(seed), 0
    job = world.jobs[0]
    for _ in range(60):
        sent = request(world, rng, job=job)
        if sent.payload["kind"] in ENDS:
            continue
        try:
            bench.post(sent.who, sent.account, sent.payload)
        except PartsvcError:
            continue
        found = waiting_list(bench.service, bench.sender("tech"), job)
        plan = bench.look(job).plan
        for step in (*found.can_start, *found.waiting):
            stopped = stopped_by_gates(bench, job, step, plan.step_of[step.id])
            gates = [one for one in step.waits if one.kind is not WaitsFor.PART]
            if stopped is not None:
                assert stopped is bool(gates), (step, sent)
                compared += 1
    bench.service.database.close()
    assert compared > 40
