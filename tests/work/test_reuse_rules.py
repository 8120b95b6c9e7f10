"""Which pieces may go back: by rule, by look, and by what the book knows of each lot."""

from __future__ import annotations

import pytest
from ledger_bench import Bench, position, step

from partsvc.domain.records import Plain


@pytest.fixture
def job(bench: Bench) -> str:
    return bench.open_job(
        step(
            "S1",
            10,
            position("P1", {"part": "A", "rule": "replace"}, sets=4),
            position("P2", {"part": "C", "rule": "inspect"}, sets=2),
            position("P3", {"part": "E", "rule": "limited", "max_uses": 2}, sets=2),
            position("P4", {"part": "B", "rule": "replace"}, sets=4),
        )
    )


@pytest.fixture
def k(bench: Bench) -> str:
    return bench.tags[0]


def look(bench: Bench, job: str, part: str, k: str, **more: Plain) -> None:
    bench.act(job, "inspect", part=part, bag=k, result="pass", **more)


def test_one_look_lets_one_piece_go_back_and_no_more(bench: Bench, job: str, k: str) -> None:
    bench.act(job, "remove", position="P2", bag=k)
    look(bench, job, "C", k, quantity=1)
    bench.act(job, "fit", position="P2", bag=k, quantity=1)

    assert bench.refused(job, "fit", position="P2", bag=k).reason == "not-inspected"

    look(bench, job, "C", k)
    bench.act(job, "fit", position="P2", bag=k)
    assert bench.at(job, "loose:P2") == {"C": 2}


def test_a_look_holds_for_a_piece_taken_out_again_before_it_was_secured(
    bench: Bench, job: str, k: str
) -> None:
    bench.act(job, "remove", position="P2", bag=k)
    look(bench, job, "C", k)
    bench.act(job, "fit", position="P2", bag=k)
    bench.act(job, "remove", position="P2", bag=k)

    bench.act(job, "secure", position="P2", bag=k)
    bench.act(job, "remove", position="P2", bag=k)

    assert bench.refused(job, "fit", position="P2", bag=k).reason == "not-inspected"


def test_a_piece_only_loosened_obeys_its_rule_too(bench: Bench, job: str) -> None:
    bench.act(job, "loosen", position="P2")
    bench.act(job, "loosen", position="P3")
    bench.act(job, "loosen", position="P4")

    reasons = [bench.refused(job, "secure", position=one).reason for one in ("P2", "P3", "P4")]

    assert reasons == ["not-inspected", "not-inspected", "single-use"]
    bench.act(job, "inspect", part="C", position="P2", result="pass")
    bench.act(job, "secure", position="P2")
    bench.act(job, "inspect", part="E", position="P3", result="pass", uses=1)
    bench.act(job, "secure", position="P3")
    bench.act(job, "loosen", position="P3")
    assert bench.refused(job, "secure", position="P3").reason == "used-up"


def test_a_use_is_used_even_if_the_bolt_comes_out_again(bench: Bench, job: str, k: str) -> None:
    bench.act(job, "remove", position="P3", bag=k)
    look(bench, job, "E", k, uses=1)
    bench.act(job, "fit", position="P3", bag=k)
    bench.act(job, "remove", position="P3", bag=k)

    refused = bench.refused(job, "fit", position="P3", bag=k)
    assert refused.reason == "used-up"
    assert "2 used 2 of 2 times: no use left" in refused.detail


def test_a_piece_that_failed_its_look_in_place_is_not_secured_and_not_forgotten(
    bench: Bench, job: str
) -> None:
    bench.act(job, "loosen", position="P2", sets=1)
    bench.act(job, "inspect", part="C", position="P2", quantity=1, result="fail")

    assert bench.refused(job, "secure", position="P2").reason == "damaged"
    assert bench.findings(job) == [("damaged", "P2", 1), ("loose", "P2", 1)]


def test_what_broke_where_it_stands_secured_is_found(bench: Bench, job: str) -> None:
    bench.act(job, "inspect", part="C", position="P2", quantity=1, result="fail")

    assert bench.findings(job) == [("damaged", "P2", 1)]


def test_an_old_bolt_put_in_anyway_is_asked_about_once(bench: Bench, job: str, k: str) -> None:
    bench.act(job, "remove", position="P1", bag=k, quantity=1)
    assert bench.refused(job, "fit", position="P1", bag=k).reason == "single-use"
    bench.done_anyway(job, "fit", position="P1", bag=k)

    bench.act(job, "secure", position="P1")

    assert bench.findings(job) == [("unreplaced", "P1", 1)]


def test_an_old_bolt_put_right_again_leaves_only_the_question_to_quality(
    bench: Bench, job: str, k: str
) -> None:
    bench.act(job, "remove", position="P1", bag=k, quantity=1)
    bench.done_anyway(job, "secure", position="P1", bag=k)
    bench.act(job, "remove", position="P1", bag=k, quantity=1)
    bench.act(job, "discard", bag=k)
    bench.act(job, "issue", "desk", part="A", quantity=1, bag=k)
    bench.act(job, "secure", position="P1", bag=k)

    assert bench.findings(job) == [("done-anyway", "P1", 1)]

    bench.act(job, "accept", "quality", finding="done-anyway", reason="seen and put right")
    assert bench.findings(job) == []


def test_a_remark_taken_as_it_is_hides_nothing_done_anyway(bench: Bench, job: str, k: str) -> None:
    bench.act(job, "remove", position="P1", bag=k, quantity=1)
    bench.done_anyway(job, "secure", position="P1", bag=k)
    bench.act(job, "remark", position="P1", words="thread scratched")
    bench.act(job, "accept", "quality", finding="remark", reason="cosmetic")
    bench.act(job, "remove", position="P1", bag=k, quantity=1)
    bench.act(job, "discard", bag=k)
    bench.act(job, "issue", "desk", part="A", quantity=1, bag=k)
    bench.act(job, "secure", position="P1", bag=k)

    assert bench.findings(job) == [("done-anyway", "P1", 1)]


def test_a_second_tightening_stays_found_when_the_part_gets_another_number(
    bench: Bench, job: str
) -> None:
    bench.act(job, "loosen", position="P4", sets=1)
    bench.done_anyway(job, "secure", position="P4")

    bench.act(job, "correct", position="P4", becomes="E", reason="read on the head")

    assert bench.findings(job) == [("unreplaced", "P4", 1)]


def test_new_bolts_corrected_away_from_their_position_leave_the_others_new(
    bench: Bench, job: str, k: str
) -> None:
    bench.act(job, "remove", position="P4", bag=k)
    bench.act(job, "discard", bag=k)
    bench.act(job, "issue", "desk", part="B", quantity=4, bag=k)
    bench.act(job, "secure", position="P4", bag=k, quantity=2)
    bench.act(job, "correct", position="P4", sets=3, reason="one hole is blind")

    bench.act(job, "secure", position="P4", bag=k, quantity=2)

    assert bench.findings(job) == []


def test_a_new_bolt_that_broke_unused_is_no_allowance_for_another(
    bench: Bench, job: str, k: str
) -> None:
    bench.act(job, "remove", position="P4", bag=k)
    bench.act(job, "discard", bag=k)
    bench.act(job, "issue", "desk", part="B", quantity=4, bag=k)
    bench.act(job, "inspect", part="B", bag=k, quantity=1, result="fail")
    bench.act(job, "discard", bag=k, condition="damaged")
    bench.act(job, "secure", position="P4", bag=k)
    bench.act(job, "loosen", position="P4", sets=1)

    assert bench.refused(job, "secure", position="P4").reason == "single-use"


def test_a_single_use_part_is_made_reusable_by_quality_and_by_nobody_else(
    bench: Bench, job: str
) -> None:
    change: dict[str, Plain] = {"position": "P1", "rule": "reuse", "reason": "looks good as new"}

    assert bench.refused(job, "correct", **change).reason == "rule-relaxed"

    bench.act(job, "correct", position="P2", rule="replace", reason="brittle")
    bench.act(job, "correct", "quality", **change)
    rules = {one.id: str(one.stack[0].rule) for one in bench.look(job).plan.positions.values()}
    assert rules == {"P1": "reuse", "P2": "replace", "P3": "limited", "P4": "replace"}


def test_a_rule_relaxed_anyway_waits_for_quality(bench: Bench, job: str) -> None:
    bench.done_anyway(job, "correct", position="P1", rule="reuse", reason="looks good as new")

    assert bench.findings(job) == [("done-anyway", "P1", 1)]


def test_a_bolt_put_in_between_two_stages_begins_at_the_first(bench: Bench) -> None:
    stages = [{"id": "one", "words": "20 N·m"}, {"id": "two", "words": "90 degrees"}]
    job = bench.open_job(step("S1", 10, position("P1", {"part": "B"}, sets=4, stages=stages)))
    old, new = bench.tags[:2]
    bench.act(job, "loosen", position="P1")
    bench.act(job, "secure", position="P1", stage="one")
    bench.act(job, "remove", position="P1", quantity=1, bag=old)
    bench.act(job, "issue", "desk", part="B", quantity=1, bag=new)
    bench.act(job, "fit", position="P1", bag=new)

    refused = bench.refused(job, "secure", position="P1", stage="two")

    assert refused.reason == "stage-first"
    assert "done for 3 of" in refused.detail
    bench.act(job, "secure", position="P1", stage="one", quantity=1)
    bench.act(job, "secure", position="P1", stage="two")
    assert bench.at(job, "secured:P1") == {"B": 3, "B new": 1}
