"""Holds, readings and second looks: what they stop, and whom."""

from __future__ import annotations

import pytest
from ledger_bench import Bench, position, step

from partsvc.errors import Invalid

DEAD = {
    "id": "H1",
    "title": "proved dead",
    "readings": [{"name": "plus to minus", "unit": "V", "limit": "5"}],
}


@pytest.fixture
def job(bench: Bench) -> str:
    return bench.open_job(step("S1", 10, position("P1", {"part": "B"}, sets=2), holds=[DEAD]))


def reading(value: str) -> list[dict[str, str]]:
    return [{"name": "plus to minus", "value": value, "unit": "V"}]


def test_a_reading_over_the_limit_stops_whichever_way_the_probes_were_held(
    bench: Bench, job: str
) -> None:
    for value in ("380", "-380"):
        refused = bench.refused(job, "hold", hold="H1", values=reading(value))
        assert (refused.reason, refused.may_be_recorded) == ("over-limit", False)

    bench.act(job, "hold", hold="H1", values=reading("-0.4"))
    assert "H1" in bench.look(job).state.holds


def test_a_reading_given_twice_is_sent_back(bench: Bench, job: str) -> None:
    with pytest.raises(Invalid, match="twice"):
        bench.act(job, "hold", hold="H1", values=reading("380") + reading("0.1"))


def test_an_open_hold_also_stops_what_nobody_had_planned(bench: Bench, job: str) -> None:
    new = {"where": "behind the cover", "quantity": 1, "step": "S1", "words": "screw"}

    refused = bench.refused(job, "remove", bag=bench.tags[0], add=new)

    assert refused.reason == "hold-open"


def test_an_addition_made_anyway_waits_for_quality(bench: Bench, job: str) -> None:
    new = {"where": "behind the cover", "quantity": 1, "step": "S1", "words": "screw"}

    bench.done_anyway(job, "remove", bag=bench.tags[0], add=new)

    kinds = {finding.kind for finding in bench.reconcile(job).open}
    assert {"done-anyway", "hold-open", "not-back"} <= kinds


def test_two_additions_of_one_moment_are_two_positions(bench: Bench) -> None:
    job = bench.open_job(step("S1", 10))
    new = {"where": "behind the cover", "quantity": 1, "step": "S1", "words": "screw"}
    for last in "12":
        key = f"01890a5d-ac96-7000-8000-00000000000{last}"
        bench.post("tech", job, {"key": key, "kind": "correct", "reason": "found", "add": new})

    positions = list(bench.look(job).plan.positions)

    assert positions == ["x01890a5d-ac96", "x01890a5d-ac96-7000"]
    assert bench.findings(job) == []


def test_whoever_recorded_the_work_does_not_confirm_it(bench: Bench, job: str) -> None:
    bench.act(job, "hold", hold="H1", values=reading("0"))
    bench.act(job, "loosen", position="P1")
    bench.act(job, "secure", "mate", by="tech", position="P1")

    for who in ("tech", "mate"):
        assert bench.refused(job, "confirm", who, position="P1").reason == "same-person"
        assert bench.refused(job, "confirm", who, step="S1").reason == "same-person"

    bench.act(job, "confirm", "quality", step="S1")


def test_whoever_counted_or_recorded_the_count_does_not_adjust_it(bench: Bench) -> None:
    job, bag = bench.open_job(step("S1", 10, position("P1", {"part": "B"}, sets=2))), bench.tags[0]
    bench.act(job, "remove", position="P1", bag=bag)
    counted = bench.act(
        job, "count", "mate", by="tech", bag=bag, counted=[{"part": "B", "quantity": 1}]
    )

    for who in ("tech", "mate"):
        refused = bench.refused(job, "adjust", who, count=counted["key"], reason="one is gone")
        assert refused.reason == "same-person"

    bench.act(job, "adjust", "lead", count=counted["key"], reason="one is gone")
    assert bench.at(job, f"lost:bag:{bag}") == {"B": 1}
