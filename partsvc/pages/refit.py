"""The bench on the way back: what to fit now, from which bag, how tight; one scan, one tap."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Response

from partsvc.domain.refit_bags import BagOfStep, Due, bags_of, due_before, own_look, setting
from partsvc.domain.refit_list import RefitPosition, RefitStep
from partsvc.pages.bench import at_hand
from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom
from partsvc.web.running import service
from partsvc.work.bench import RefitBench, refit_bench

room = PageRoom("refit", __name__)


@dataclass(frozen=True, slots=True, kw_only=True)
class StepShown:
    """A step as the bench shows it: by its bags, then what is in place already."""

    line: RefitStep
    state: str
    bags: tuple[BagOfStep, ...]
    elsewhere: tuple[RefitPosition, ...]
    loose: tuple[RefitPosition, ...]
    secured: tuple[RefitPosition, ...]
    looks: tuple[RefitPosition, ...]
    second_looks: tuple[RefitPosition, ...]
    before: tuple[Due, ...]
    to_fit: int


@room.page("/bench/<job>/refit")
def refit(job: str) -> Response:
    """Putting back."""
    found = refit_bench(service(), job)
    due = due_before(found.work)
    steps = [_step(found, step, due.get(step.id, ())) for step in found.work.steps]
    return shown(
        "bench_refit.html",
        job=found.work.job,
        work=found.work,
        remarks=found.remarks,
        people=found.people,
        looks_due=found.looks_due,
        steps=steps,
        numbers={step.id: step.number for step in found.work.steps},
        own_look=own_look,
        setting=setting,
        pictures=found.pictures,
        tags=at_hand(found.tags),
    )


def _step(found: RefitBench, step: RefitStep, before: tuple[Due, ...]) -> StepShown:
    off = [one for one in step.positions if one.to_fit]
    in_bags = {one.id for one in off if any(source.bag for source in one.sources)}
    return StepShown(
        line=step,
        state=_state(step),
        bags=bags_of(step, found.boards),
        elsewhere=tuple(one for one in off if one.id not in in_bags),
        loose=tuple(one for one in step.positions if one.loose and one.id not in in_bags),
        secured=tuple(one for one in step.positions if one.tick),
        looks=tuple(one for one in step.positions if one.id in found.looks_due),
        second_looks=tuple(one for one in step.positions if one.id in found.second_looks),
        before=before,
        to_fit=sum(one.to_fit for one in off),
    )


def _state(step: RefitStep) -> str:
    if step.not_done_because:
        return "left-out"
    if step.finished:
        return "finished"
    begun = any(one.secured for one in step.positions)
    return "part-fitted" if begun else "to-fit"
