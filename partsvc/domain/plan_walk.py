"""Walks a plan so that whatever is said of it can name its place."""

from __future__ import annotations

from collections.abc import Iterator

from partsvc.domain.placed import Mark
from partsvc.domain.plan import Hold, Plan, Position, Reading, StackItem, Stage, Step, Temporary

WHOLE = Mark("", "the procedure")


def steps(plan: Plan) -> Iterator[tuple[Mark, Step]]:
    """Every step."""
    for n, step in enumerate(plan.steps, start=1):
        yield Mark(f"steps[{n}]", f"step {step.number}"), step


def holds(plan: Plan) -> Iterator[tuple[Mark, Step, Hold]]:
    """Every hold point, with its step."""
    for mark, step in steps(plan):
        for n, hold in enumerate(step.holds, start=1):
            yield mark.at("holds", n).called(f"hold {hold.id}"), step, hold


def temporaries(plan: Plan) -> Iterator[tuple[Mark, Step, Temporary]]:
    """Every temporary item, with its step."""
    for mark, step in steps(plan):
        for n, item in enumerate(step.temporaries, start=1):
            yield mark.at("temporaries", n).called(f"temporary item {item.id}"), step, item


def positions(plan: Plan) -> Iterator[tuple[Mark, Step, Position]]:
    """Every position, with its step."""
    for mark, step in steps(plan):
        for n, position in enumerate(step.positions, start=1):
            yield mark.at("positions", n).called(f"position {position.id}"), step, position


def stacked(plan: Plan) -> Iterator[tuple[Mark, Position, StackItem]]:
    """Every part of every set, with its position."""
    for mark, _, position in positions(plan):
        for n, item in enumerate(position.stack, start=1):
            yield mark.at("stack", n).called(f"part {item.part}"), position, item


def stages(plan: Plan) -> Iterator[tuple[Mark, Position, Stage]]:
    """Every stage of securing, with its position."""
    for mark, _, position in positions(plan):
        for n, stage in enumerate(position.stages, start=1):
            yield mark.at("stages", n).called(f"stage {stage.id}"), position, stage


def readings(plan: Plan) -> Iterator[tuple[Mark, tuple[tuple[Mark, Reading], ...]]]:
    """The readings that belong together: those of a step, and those of each hold."""
    for mark, step in steps(plan):
        yield mark, _readings(mark, step.readings)
    for mark, _, hold in holds(plan):
        yield mark, _readings(mark, hold.readings)


def _readings(mark: Mark, found: tuple[Reading, ...]) -> tuple[tuple[Mark, Reading], ...]:
    return tuple(
        (mark.at("readings", n).called(f"reading “{one.name}”"), one)
        for n, one in enumerate(found, start=1)
    )


def texts(plan: Plan) -> Iterator[tuple[Mark, str]]:
    """Every text that people read, with its place."""
    yield WHOLE.at("title"), plan.title
    yield WHOLE.at("assembly"), plan.assembly
    yield from ((WHOLE.at("cautions", n), text) for n, text in enumerate(plan.cautions, start=1))
    for mark, step in steps(plan):
        yield mark.at("title"), step.title
        yield mark.at("zone"), step.zone
        yield from ((mark.at("cautions", n), text) for n, text in enumerate(step.cautions, 1))
        for n, applied in enumerate(step.applications, start=1):
            yield mark.at("applications", n).at("what"), applied.what
            yield mark.at("applications", n).at("unit"), applied.unit
    yield from ((mark.at("title"), hold.title) for mark, _, hold in holds(plan))
    yield from ((mark.at("words"), item.words) for mark, _, item in temporaries(plan))
    yield from _texts_of_positions(plan)
    for _, asked in readings(plan):
        for mark, one in asked:
            yield mark.at("name"), one.name
            yield mark.at("unit"), one.unit


def _texts_of_positions(plan: Plan) -> Iterator[tuple[Mark, str]]:
    for mark, _, position in positions(plan):
        yield mark.at("where"), position.where
        yield mark.at("side"), position.side
        yield mark.at("pattern"), position.pattern
    for mark, _, item in stacked(plan):
        yield mark.at("criterion"), item.criterion
        for n, one in enumerate(item.accepts, start=1):
            yield mark.at("accepts", n).at("source"), one.source
    for mark, _, stage in stages(plan):
        yield mark.at("words"), stage.words
        yield mark.at("source"), stage.source
