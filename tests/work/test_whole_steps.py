"""A whole step in one act: each position by itself, and nothing left behind of what is refused."""

from __future__ import annotations

import pytest
from ledger_bench import WORKSHOP, Bench, position, step

from partsvc.domain.records import Plain

TORQUE: list[Plain] = [{"id": "tight", "words": "110 N·m", "torque_nm": "110"}]


def a_set(*, rule: str = "reuse", sets: int = 2, **more: Plain) -> dict[str, Plain]:
    return position("P1", {"part": "B"}, {"part": "C", "rule": rule}, sets=sets, **more)


@pytest.mark.parametrize(
    ("setting", "taken"),
    [
        ("110 N·m", True), ("110Nm", True), ("110.0 N m", True), ("110,0 N·m", True),
        ("wrench at 110 N*m, then 90°", True), ("24 N·m", False), ("11 N·m", False),
        ("81 lbf·ft", True), ("hand tight", True),
    ],
)  # fmt: skip
def test_a_setting_in_newton_metres_is_held_against_the_plans_torque(
    bench: Bench, setting: str, taken: bool
) -> None:
    """Other units and words are taken as they are said: nothing is converted, nothing guessed."""
    job = bench.open_job(
        step("S", 10, position("P1", {"part": "B"}, sets=2, record="setting", stages=TORQUE))
    )
    bench.act(job, "remove", step="S", bag=bench.tags[0])

    bench.act(job, "secure", step="S", tool="W7", setting=setting)

    assert bool(bench.at(job, "secured:P1")) is taken


def test_a_set_of_which_one_part_is_refused_goes_back_neither_way(bench: Bench) -> None:
    job = bench.open_job(
        step("S", 10, a_set(rule="inspect"), position("P2", {"part": "E"}, sets=1))
    )
    bench.act(job, "remove", step="S", bag=bench.tags[0])

    body = bench.act(job, "fit", step="S")

    assert (bench.at(job, "loose:P1"), bench.at(job, "loose:P2")) == ({}, {"E": 1})
    assert "goes back only after a look" in str(body["warnings"])
    assert bench.at(job, f"bag:{bench.tags[0]}") == {"B": 2, "C": 2}


def test_new_pieces_are_taken_from_the_bag_they_were_exchanged_in(bench: Bench) -> None:
    job = bench.open_job(
        step("S1", 10, position("P1", {"part": "A", "rule": "replace"}, sets=2)),
        step("S2", 20, position("P2", {"part": "A", "rule": "replace"}, sets=2)),
    )
    # The second step's bag has the lower code: by the code alone its bolts would go first.
    low, high, old = sorted(bench.tags[:3])
    bench.act(job, "remove", step="S1", bag=high)
    bench.act(job, "remove", step="S2", bag=low)
    for bag in (low, high):
        bench.act(job, "exchange", "desk", bag=bag, old_parts=old)

    bench.act(job, "secure", step="S1")

    assert bench.at(job, f"bag:{low}") == {"A new": 2}
    assert bench.at(job, f"bag:{high}") == {}


def test_used_pieces_at_home_elsewhere_stay_in_their_bag(bench: Bench) -> None:
    job = bench.open_job(
        step("S1", 10, position("P1", {"part": "B"}, sets=2)),
        step("S2", 20, position("P2", {"part": "B"}, sets=2)),
    )
    bench.act(job, "remove", step="S1", bag=bench.tags[0])
    bench.act(job, "remove", step="S2", bag=bench.tags[0])
    bench.act(job, "lose", part="B", lot="P1", bag=bench.tags[0])

    bench.act(job, "secure", step="S1")

    assert bench.at(job, "secured:P1") == {"B": 1}
    assert bench.at(job, f"bag:{bench.tags[0]}") == {"B": 2}


def test_a_new_piece_that_was_fitted_and_taken_off_again_goes_back_too(bench: Bench) -> None:
    job = bench.open_job(step("S", 10, position("P1", {"part": "B"}, sets=1)))
    bench.act(job, "remove", step="S", bag=bench.tags[0])
    bench.act(job, "discard", bag=bench.tags[0])
    bench.act(job, "issue", "desk", part="B", quantity=1, bag=bench.tags[1])
    bench.act(job, "secure", step="S")
    bench.act(job, "remove", step="S", bag=bench.tags[2])

    bench.act(job, "secure", step="S")

    assert bench.at(job, "secured:P1") == {"B": 1}


def test_whole_step_and_position_are_not_said_together(bench: Bench) -> None:
    job = bench.open_job(step("S", 10, position("P1", {"part": "B"}, sets=1)))
    for kind in ("remove", "fit", "secure"):
        for members in ({"step": "S", "position": "P1", "bag": bench.tags[0]}, {}):
            with pytest.raises(Exception, match="position"):
                bench.act(job, kind, **members)


def test_the_store_gives_what_a_whole_bag_is_exchanged_for(bench: Bench) -> None:
    job = bench.open_job(step("S", 10, position("P1", {"part": "A", "rule": "replace"}, sets=3)))
    bench.act(WORKSHOP, "receive", "desk", part="A", quantity=2)
    bench.act(job, "remove", step="S", bag=bench.tags[0])

    body = bench.act(job, "exchange", "desk", bag=bench.tags[0], old_parts=bench.tags[1])

    assert bench.at(WORKSHOP, "stock:main") == {}
    assert "1 stretch bolt (A) short" in str(body["warnings"])
    assert bench.at(job, f"bag:{bench.tags[0]}") == {"A new": 3}


def accepted(number: str, **more: Plain) -> dict[str, Plain]:
    return {"number": number, "source": "invented", **more}


def test_a_bolt_with_its_captive_washer_fills_both_lines_of_the_step(bench: Bench) -> None:
    bolt = {"part": "B", "accepts": [accepted("E")]}
    washer = {"part": "W", "accepts": [accepted("E", comes_with="E")]}
    job = bench.open_job(step("S", 10, position("P1", bolt, washer, sets=2)))
    bench.act(job, "remove", step="S", bag=bench.tags[0])
    bench.act(job, "discard", bag=bench.tags[0])
    bench.act(job, "issue", "desk", part="E", quantity=2, bag=bench.tags[1])

    bench.act(job, "secure", step="S")

    assert bench.findings(job) == []
    body = bench.act(job, "remove", step="S", bag=bench.tags[2])
    assert [(one["part"], one["quantity"]) for one in body["entries"]] == [("E", 2)]  # type: ignore[index, union-attr]


def test_a_number_that_fills_two_lines_comes_off_once(bench: Bench) -> None:
    lines = ({"part": "B", "accepts": [accepted("E")]}, {"part": "C", "accepts": [accepted("E")]})
    job = bench.open_job(step("S", 10, position("P1", *lines, sets=2)))
    bench.act(job, "remove", step="S", bag=bench.tags[0])
    bench.act(job, "discard", bag=bench.tags[0])
    bench.act(job, "issue", "desk", part="E", quantity=4, bag=bench.tags[1])
    bench.act(job, "secure", step="S")

    bench.act(job, "remove", step="S", bag=bench.tags[2])

    assert bench.at(job, f"bag:{bench.tags[2]}") == {"E": 4}
