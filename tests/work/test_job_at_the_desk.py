"""A job opened at the desk: vehicle, job, tags and printing in one go, or nothing of it."""

from __future__ import annotations

import pytest
from ledger_bench import Bench, position, step

from partsvc.domain.plan import Plan
from partsvc.domain.records import decode
from partsvc.errors import NotFound
from partsvc.work import jobs, printers, printing, procedures, tagging, vehicles
from partsvc.work.job_at_the_desk import JobAtTheDesk, TagsWanted, open_at_the_desk
from partsvc.work.jobs import JobsWanted, NewJob
from partsvc.work.printers import PrinterGiven
from partsvc.work.printing import PrintingsWanted
from partsvc.work.vehicles import VehicleGiven, VehiclesWanted

KEY = "one-form"


@pytest.fixture
def printer(bench: Bench) -> str:
    """A printer with sheets of labels in it."""
    given = PrinterGiven(name="office", address="ipp://printer.invalid/ipp/print")
    with bench.service.database.writing() as db:
        return printers.add_printer(bench.service, db, given).id


@pytest.fixture
def procedure(bench: Bench) -> str:
    """A procedure of two positions that go into bags."""
    steps = [
        step("S1", 10, position("P1", {"part": "C"}, sets=2), position("P2", {"part": "B"}, sets=1))
    ]
    plan = decode(Plan, {"key": "panel", "title": "panel off", "steps": steps})
    with bench.service.database.writing() as db:
        shown, _ = procedures.add(bench.service, db, bench.sender("lead"), plan)
    return shown.procedure


def opened(bench: Bench, given: NewJob, *, key: str = KEY, tags: TagsWanted | None = None,
           vehicle: VehicleGiven | None = None) -> JobAtTheDesk:  # fmt: skip
    return open_at_the_desk(
        bench.service, bench.sender("lead"), given, key=key, tags=tags, vehicle=vehicle
    )


def counted(bench: Bench) -> tuple[int, int, int]:
    """How many jobs, vehicles and printings there are."""
    return (
        len(jobs.page(bench.service, JobsWanted()).jobs),
        len(vehicles.page(bench.service, VehiclesWanted()).vehicles),
        len(printing.printings(bench.service, PrintingsWanted()).printings),
    )


def test_all_of_it_is_there_at_once(bench: Bench, procedure: str, printer: str) -> None:
    made = opened(
        bench,
        NewJob(title="Panel", procedure=procedure),
        vehicle=VehicleGiven(model="van"),
        tags=TagsWanted(each_position=True, blank=3, printer=printer),
    )

    own = tagging.tags_of_job(bench.service, made.job).tags
    (sheet,) = printing.printings(bench.service, PrintingsWanted()).printings
    assert {one.position for one in own} == {"P1", "P2"}
    assert set(sheet.tags) == {one.code for one in own} | set(made.blank)
    assert len(made.blank) == 3
    assert jobs.standing(bench.service, made.job).model == "van"


def test_where_the_printer_is_gone_nothing_is_opened(bench: Bench, procedure: str) -> None:
    with pytest.raises(NotFound):
        opened(
            bench,
            NewJob(title="Panel", procedure=procedure),
            vehicle=VehicleGiven(model="van"),
            tags=TagsWanted(each_position=True, printer="pgone"),
        )

    assert counted(bench) == (0, 0, 0)


def test_the_same_form_twice_is_one_job_and_another_text_is_another(bench: Bench) -> None:
    first = opened(bench, NewJob(title="Rattle"), tags=TagsWanted(blank=2))
    again = opened(bench, NewJob(title="Rattle"), tags=TagsWanted(blank=2))
    other = opened(bench, NewJob(title="Rattle, rear"), tags=TagsWanted(blank=2))

    assert first == again
    assert other.job != first.job
    assert counted(bench)[0] == 2


def test_a_job_on_no_procedure_begins_with_blank_tags_alone(bench: Bench) -> None:
    made = opened(bench, NewJob(title="Rattle"), tags=TagsWanted(each_position=True, blank=1))

    assert tagging.tags_of_job(bench.service, made.job).tags == ()
    assert len(made.blank) == 1


def test_a_job_goes_on_with_one_that_was_handed_over_incomplete(
    bench: Bench, procedure: str
) -> None:
    old = opened(bench, NewJob(title="Panel", procedure=procedure),
                 vehicle=VehicleGiven(model="van")).job  # fmt: skip
    bench.act(old, "remove", position="P1", bag=bench.tags[0])
    bench.act(old, "hand-over-incomplete", "lead", why="towed-away", to="another workshop")

    given = NewJob(title="Panel, again", takes_over=old)
    new = opened(bench, given, key="another-form").job

    assert opened(bench, given, key="another-form").job == new
    standing = jobs.standing(bench.service, new)
    assert (standing.takes_over, standing.procedure, standing.model) == (old, procedure, "van")
    assert jobs.standing(bench.service, old).taken_over_by == new
