"""Undoing an act: wholly, once, and never from under what was built on it."""

from __future__ import annotations

import pytest
from ledger_bench import WORKSHOP, Bench, position, step

from partsvc.domain.records import Plain

FIRST: dict[str, Plain] = {"id": "first", "words": "first stage"}
LAST: dict[str, Plain] = {"id": "last", "words": "last stage"}


@pytest.fixture
def job(bench: Bench) -> str:
    return bench.open_job(
        step(
            "S1",
            10,
            position("P1", {"part": "B"}, sets=4, stages=[FIRST, LAST]),
            position("P2", {"part": "C", "rule": "inspect"}, sets=2),
            holds=[{"id": "H1", "title": "support in place"}],
        )
    )


@pytest.fixture
def k(bench: Bench) -> str:
    return bench.tags[0]


def test_a_return_to_the_store_can_be_undone(bench: Bench, job: str, k: str) -> None:
    bench.act(job, "hold", hold="H1")
    bench.act(job, "issue", "desk", part="B", quantity=3, bag=k)
    returned = bench.act(job, "return", "desk", part="B", quantity=2, bag=k)

    bench.act(job, "reverse", act=returned["key"], reason="still needed")

    assert bench.at(job, f"bag:{k}") == {"B new": 3}
    assert bench.at(WORKSHOP, "stock:main") == {}


def test_a_return_is_not_undone_once_another_job_has_the_parts(
    bench: Bench, job: str, k: str
) -> None:
    other = bench.open_job()
    bench.act(job, "issue", "desk", part="B", quantity=2, bag=k)
    returned = bench.act(job, "return", "desk", part="B", bag=k)
    bench.act(other, "issue", "desk", part="B", quantity=1, bag=bench.tags[1])

    refused = bench.refused(job, "reverse", act=returned["key"], reason="still needed")

    assert refused.reason == "moved-on"
    assert "another job" in refused.detail


def test_a_step_stays_while_another_position_was_added_to_it(
    bench: Bench, job: str, k: str
) -> None:
    new = {"where": "behind the trim", "quantity": 1, "step_title": "unplanned", "words": "screw"}
    first = bench.act(job, "correct", reason="found", add=new)
    added = bench.look(job).plan.steps[-1].id
    more = {"where": "beside it", "quantity": 2, "step": added, "words": "screw"}
    second = bench.act(job, "correct", reason="found", add=more)

    refused = bench.refused(job, "reverse", act=first["key"], reason="wrong vehicle")

    assert refused.members["reverse_first"] == (second["key"],)
    bench.act(job, "reverse", act=second["key"], reason="wrong vehicle")
    bench.act(job, "reverse", act=first["key"], reason="wrong vehicle")
    assert [one.id for one in bench.look(job).plan.steps] == ["S1"]


def test_a_step_stays_while_a_cap_of_it_is_on_the_vehicle(bench: Bench, job: str) -> None:
    new = {"where": "behind the trim", "quantity": 1, "step_title": "unplanned", "words": "screw"}
    first = bench.act(job, "correct", reason="found", add=new)
    added = bench.look(job).plan.steps[-1].id
    capped = bench.act(job, "put-on", step=added, words="red cap")

    refused = bench.refused(job, "reverse", act=first["key"], reason="wrong vehicle")

    assert refused.members["reverse_first"] == (capped["key"],)


def test_a_correction_stays_while_a_later_one_builds_on_it(bench: Bench, job: str) -> None:
    five = bench.act(job, "correct", position="P1", sets=5, reason="five holes")
    six = bench.act(job, "correct", position="P1", sets=6, reason="no, six")

    refused = bench.refused(job, "reverse", act=five["key"], reason="miscounted")

    assert refused.members["reverse_first"] == (six["key"],)


def test_a_count_stays_while_it_is_adjusted(bench: Bench, job: str, k: str) -> None:
    bench.act(job, "hold", hold="H1")
    bench.act(job, "remove", position="P1", bag=k)
    counted = bench.act(job, "count", bag=k, counted=[{"part": "B", "quantity": 3}])
    adjusted = bench.act(job, "adjust", "mate", count=counted["key"], reason="three indeed")

    refused = bench.refused(job, "reverse", act=counted["key"], reason="miscounted")

    assert refused.members["reverse_first"] == (adjusted["key"],)


def test_an_inspection_stays_while_its_pieces_are_back_in_place(
    bench: Bench, job: str, k: str
) -> None:
    bench.act(job, "hold", hold="H1")
    bench.act(job, "remove", position="P2", bag=k)
    looked = bench.act(job, "inspect", part="C", bag=k, result="pass")
    fitted = bench.act(job, "fit", position="P2", bag=k)

    refused = bench.refused(job, "reverse", act=looked["key"], reason="did not look")

    assert refused.members["reverse_first"] == (fitted["key"],)
    bench.act(job, "reverse", act=fitted["key"], reason="did not look")
    bench.act(job, "reverse", act=looked["key"], reason="did not look")
    assert bench.refused(job, "fit", position="P2", bag=k).reason == "not-inspected"


def test_a_first_stage_stays_while_a_later_stage_stands_on_it(
    bench: Bench, job: str, k: str
) -> None:
    bench.act(job, "hold", hold="H1")
    bench.act(job, "loosen", position="P1")
    first = bench.act(job, "secure", position="P1", stage="first")
    last = bench.act(job, "secure", position="P1", stage="last")

    refused = bench.refused(job, "reverse", act=first["key"], reason="wrong setting")

    assert refused.members["reverse_first"] == (last["key"],)


def test_a_hold_undone_closes_its_gate_and_names_what_was_done_under_it(
    bench: Bench, job: str, k: str
) -> None:
    held = bench.act(job, "hold", hold="H1")
    removed = bench.act(job, "remove", position="P1", bag=k)

    undone = bench.act(job, "reverse", act=held["key"], reason="the support had slipped")

    named = f"act {removed['seq']}, remove at step 10, by"
    assert f"{named} tech" in undone["warnings"][0]  # type: ignore[index]
    assert f"{named} person tech" in bench.finding(job, "hold-open").words
    assert bench.refused(job, "remove", position="P2", bag=k).reason == "hold-open"


def test_a_bag_whose_first_use_was_undone_must_still_be_seen_empty_later(
    bench: Bench, job: str, k: str
) -> None:
    bench.act(job, "hold", hold="H1")
    removed = bench.act(job, "remove", position="P1", bag=k)
    bench.act(job, "reverse", act=removed["key"], reason="wrong bag")
    bench.act(job, "remove", position="P1", bag=k)
    bench.act(job, "secure", position="P1", bag=k)

    assert bench.findings(job, seen=True) == [("bag-not-seen-empty", f"bag:{k}", 1)]


def test_a_reversal_is_not_reversed_and_nothing_is_reversed_twice(
    bench: Bench, job: str, k: str
) -> None:
    bench.act(job, "hold", hold="H1")
    removed = bench.act(job, "remove", position="P1", bag=k)
    undone = bench.act(job, "reverse", act=removed["key"], reason="wrong bag")

    twice = bench.refused(job, "reverse", act=removed["key"], reason="again")
    back = bench.refused(job, "reverse", act=undone["key"], reason="it was right")

    assert (twice.reason, back.reason) == ("already-reversed", "not-reversible")
