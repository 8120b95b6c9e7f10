"""What was learnt on one vehicle becomes the procedure of the next."""

from __future__ import annotations

import pytest
from ledger_bench import Bench, position, step

from partsvc.domain.parts import Rule
from partsvc.domain.plan import Plan
from partsvc.errors import BadFile, Conflict, Invalid, Refused
from partsvc.work import files
from partsvc.work.saving_procedures import save_as_procedure


def save(bench: Bench, job: str, key: str = "learnt", title: str = "Learnt") -> Plan:
    return save_as_procedure(bench.service, bench.sender("lead"), job, key, title).plan


def take_off(bench: Bench, job: str, title: str, zone: str, part: str | None = "C") -> str:
    """Strip a step that nobody had planned; answers the id it was given."""
    before = set(bench.look(job).plan.step_of)
    add: dict[str, object] = {
        "where": f"at {title}", "quantity": 2, "step_title": title, "zone": zone,
    }  # fmt: skip
    if part:
        add["part"] = part
    bench.act(job, "remove", add=add, bag=bench.tags[0])  # type: ignore[arg-type]
    (new,) = set(bench.look(job).plan.step_of) - before
    return new


def test_a_job_without_a_procedure_becomes_one(bench: Bench) -> None:
    job = bench.open_job()
    cover = take_off(bench, job, "cover", "front")
    tank = take_off(bench, job, "tank", "rear")
    bracket = take_off(bench, job, "bracket", "front")

    plan = save(bench, job)

    assert (plan.key, plan.title) == ("learnt", "Learnt")
    assert {one.id: one.after for one in plan.steps} == {
        cover: (), tank: (), bracket: (cover,),
    }  # fmt: skip
    assert [one.where for one in plan.positions.values()] == ["at cover", "at tank", "at bracket"]


def test_the_saved_procedure_can_be_worked_and_goes_out_as_a_file(bench: Bench) -> None:
    job = bench.open_job()
    take_off(bench, job, "cover", "front")
    take_off(bench, job, "bracket", "front")
    save(bench, job)

    out = files.give_out(bench.service, "procedure", "learnt", "csv")
    taken = files.take_in(bench.service, bench.sender("lead"), "procedure", "out.csv", out)

    assert (taken.revision, taken.changes) == (1, ())


def test_what_was_planned_keeps_its_order_and_what_was_added_finds_its_place(bench: Bench) -> None:
    job = bench.open_job(
        step("S1", 10, position("P1", {"part": "A"}, sets=4), zone="front"),
        step("S2", 20, position("P2", {"part": "B"}, sets=2), zone="front"),
    )
    bench.act(job, "remove", position="P2", bag=bench.tags[1])
    added = take_off(bench, job, "bracket", "front")
    bench.act(job, "remove", position="P1", bag=bench.tags[1])

    plan = save(bench, job)

    assert {one.id: one.after for one in plan.steps} == {"S1": (), "S2": (), added: ("S2",)}


def test_corrections_of_this_job_are_in_it(bench: Bench) -> None:
    job = bench.open_job(step("S1", 10, position("P1", {"part": "A"}, sets=4)))
    bench.act(
        job, "correct", position="P1", sets=6, becomes="B", rule="replace", reason="six, and long"
    )

    (found,) = save(bench, job).positions.values()

    assert (found.sets, found.stack[0].part, found.stack[0].rule) == (6, "B", Rule.REPLACE)


def test_parts_that_have_no_number_yet_are_listed_first(bench: Bench) -> None:
    job = bench.open_job()
    take_off(bench, job, "cover", "front", part=None)
    take_off(bench, job, "bracket", "front")

    with pytest.raises(Refused, match="One part has no number yet") as caught:
        save(bench, job)

    cover, _ = bench.look(job).plan.positions
    assert caught.value.members["missing"] == (
        {
            "where": f"step 10, position {cover}, at cover",
            "says": "has no part number yet; name it first",
        },
    )


def test_named_later_it_is_saved(bench: Bench) -> None:
    job = bench.open_job()
    take_off(bench, job, "cover", "front", part=None)
    (unnamed,) = bench.look(job).plan.positions.values()
    bench.act(job, "identify", who="desk", what=unnamed.stack[0].part, part="C")

    (found,) = save(bench, job).positions.values()

    assert found.stack[0].part == "C"


def test_saving_again_is_a_new_revision_only_when_something_was_learnt(bench: Bench) -> None:
    job = bench.open_job(step("S1", 10, position("P1", {"part": "A"}, sets=4)))
    key = "procedure-1"
    sender = bench.sender("lead")

    assert save_as_procedure(bench.service, sender, job, key, "a small procedure").number == 2
    assert save_as_procedure(bench.service, sender, job, key, "a small procedure").number == 2
    take_off(bench, job, "bracket", "front")
    assert save_as_procedure(bench.service, sender, job, key, "a small procedure").number == 3


def test_the_procedure_of_another_is_not_written_over(bench: Bench) -> None:
    bench.open_job(step("S1", 10, position("P1", {"part": "A"}, sets=4)))
    job = bench.open_job()
    take_off(bench, job, "bracket", "front")

    with pytest.raises(Conflict, match="procedure-1"):
        save(bench, job, key="procedure-1")


def test_a_key_that_is_no_id_and_a_job_without_steps_are_not_saved(bench: Bench) -> None:
    job = bench.open_job()

    with pytest.raises(Invalid, match="must be an id"):
        save(bench, job, key="no id")
    with pytest.raises(BadFile, match="has no steps"):
        save(bench, job)
