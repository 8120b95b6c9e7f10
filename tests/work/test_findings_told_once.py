"""One mistake is one finding, every mistake is found, and every finding can be taken."""

from __future__ import annotations

import pytest
from ledger_bench import Bench, position, step

HOLDS = [{"id": "H1", "title": "support in place"}, {"id": "H2", "title": "fluid drained"}]


@pytest.fixture
def job(bench: Bench) -> str:
    return bench.open_job(step("S1", 10, position("P1", {"part": "C"}, sets=4)))


@pytest.fixture
def k(bench: Bench) -> str:
    return bench.tags[0]


def test_two_holds_passed_over_in_one_act_can_be_taken_by_quality(bench: Bench) -> None:
    job = bench.open_job(step("S1", 10, position("P1", {"part": "C"}, sets=4), holds=HOLDS))
    bench.done_anyway(job, "remove", position="P1", bag=bench.tags[0])
    found = bench.finding(job, "done-anyway")

    assert found.quantity == 2
    assert "support in place" in found.words
    assert "fluid drained" in found.words
    bench.act(job, "accept", "quality", finding="done-anyway", reason="was on the stand")
    assert "done-anyway" not in {one.kind for one in bench.reconcile(job).open}


def test_pieces_of_one_position_in_two_bags_can_be_taken_by_quality(
    bench: Bench, job: str, k: str
) -> None:
    bench.act(job, "remove", position="P1", bag=k, quantity=2)
    bench.act(job, "remove", position="P1", bag=bench.tags[1], quantity=2)

    assert bench.findings(job) == [("not-back", "P1", 4)]

    bench.act(job, "accept", "quality", finding="not-back", reason="goes out without them")
    assert bench.findings(job) == []


def test_a_bag_seen_empty_against_the_book_is_one_finding(bench: Bench, job: str, k: str) -> None:
    bench.act(job, "remove", position="P1", bag=k)
    bench.act(job, "issue", "desk", bag=bench.tags[1], part="C", quantity=4)
    bench.act(job, "secure", position="P1", bag=bench.tags[1])
    bench.done_anyway(job, "seen-empty", bags=[k])

    assert bench.findings(job) == [
        ("count-differs", f"bag:{k}", 4),
        ("left-over", f"bag:{k}", 4),
    ]


def test_a_second_look_that_fails_again_is_found_again(bench: Bench, job: str) -> None:
    bench.act(job, "confirm", "mate", position="P1", result="fail", words="not clipped home")
    bench.act(job, "accept", "quality", finding="looked-wrong", reason="clipped while we looked")

    bench.act(job, "confirm", "mate", position="P1", result="fail", words="off again")

    assert bench.findings(job) == [("looked-wrong", "P1", 1)]


def test_a_bag_of_another_job_used_anyway_must_be_seen_empty_here(
    bench: Bench, job: str, k: str
) -> None:
    other = bench.open_job(step("S1", 10, position("P1", {"part": "C"}, sets=4)))
    bench.act(other, "remove", position="P1", bag=k)
    bench.done_anyway(job, "remove", position="P1", bag=k)
    bench.done_anyway(job, "secure", position="P1", bag=k)

    assert ("bag-not-seen-empty", f"bag:{k}", 1) in bench.findings(job, seen=True)
    assert bench.reconcile(job).bags_used == 1


def test_a_search_counts_only_until_the_next_piece_moves_anywhere(bench: Bench, job: str) -> None:
    bench.act(job, "search", where="all of it", result="nothing", vehicle=True, bay=True)
    assert bench.reconcile(job).vehicle_searched

    bench.act(job, "put-on", step="S1", words="red cap")

    assert not bench.reconcile(job).vehicle_searched


def test_only_the_stages_of_the_loose_ones_are_told(bench: Bench) -> None:
    stages = [{"id": "a", "words": "by hand"}, {"id": "b", "words": "by torque"}]
    job = bench.open_job(step("S1", 10, position("P1", {"part": "B"}, sets=3, stages=stages)))
    bench.act(job, "loosen", position="P1")
    bench.act(job, "secure", position="P1", quantity=1)
    assert "done so far" not in bench.finding(job, "loose").words

    bench.act(job, "secure", position="P1", quantity=1, stage="a")

    assert "(done so far: by hand)" in bench.finding(job, "loose").words


def test_pieces_in_their_own_holes_are_found_even_if_new_ones_are_in_place(
    bench: Bench, job: str, k: str
) -> None:
    bench.act(job, "remove", position="P1", own_hole=True)
    assert bench.findings(job) == [("own-hole", "P1", 4)]
    bench.act(job, "issue", "desk", bag=k, part="C", quantity=4)

    bench.act(job, "secure", position="P1", bag=k)

    assert bench.findings(job) == [("own-hole", "P1", 4)]
