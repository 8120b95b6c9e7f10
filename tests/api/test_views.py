"""What is derived from the ledger can be read as JSON, and printed."""

from __future__ import annotations

import pytest
from http_bench import HttpBench
from ledger_bench import STATEMENT, position, step

STEPS = (
    step("S1", 1, position("P1", {"part": "A", "rule": "replace"}, sets=4)),
    step("S2", 2, position("P2", {"part": "C"}, sets=2), after=["S1"]),
)


def test_the_lists_follow_the_work(bench: HttpBench) -> None:
    job = bench.open_job(*STEPS)
    bench.remove(job, "P1", bench.tags[0])

    steps = bench.look(f"/jobs/{job}/steps")
    refit = bench.look(f"/jobs/{job}/refit")
    account = bench.look(f"/jobs/{job}/reconciliation")
    order = bench.look(f"/jobs/{job}/order")

    assert [one["state"] for one in steps["steps"]] == ["off", "on"]
    assert (steps["pieces"], steps["pieces_off"]) == (6, 4)
    assert refit["pieces_to_fit"] == 4
    assert [one["kind"] for one in account["findings"]] == ["not-back"]
    assert not account["book_closes"]
    assert {one["part"]: one["needed"] for one in order["lines"]}["A"] == 4
    heads = {one["job"]["head"] for one in (steps, refit, account, order)}
    assert heads == {bench.look(f"/jobs/{job}")["head"]}


@pytest.mark.parametrize("name", ["refit", "reconciliation", "order"])
def test_a_list_is_printed_by_its_suffix_or_by_accept(bench: HttpBench, name: str) -> None:
    job = bench.open_job(*STEPS)

    by_suffix = bench.get(f"/jobs/{job}/{name}.pdf")
    by_accept = bench.get(f"/jobs/{job}/{name}", headers={"Accept": "application/pdf"})

    for found in (by_suffix, by_accept):
        assert (found.status_code, found.content_type) == (200, "application/pdf")
        assert found.data.startswith(b"%PDF")


def test_the_order_comes_as_a_table_too(bench: HttpBench) -> None:
    job = bench.open_job(*STEPS)

    found = bench.get(f"/jobs/{job}/order.csv")

    assert found.content_type == "text/csv; charset=utf-8"
    assert "stretch bolt" in found.text


def test_a_release_is_printed_once_there_is_one(bench: HttpBench) -> None:
    job = bench.open_job()
    assert bench.get(f"/jobs/{job}/release.pdf").status_code == 404

    head = bench.look(f"/jobs/{job}")["head"]
    bench.act(job, "release", "quality", head=head, **STATEMENT)

    assert bench.get(f"/jobs/{job}/release.pdf").data.startswith(b"%PDF")
    account = bench.look(f"/jobs/{job}/reconciliation")
    assert account["job"]["state"] == "released"


@pytest.mark.parametrize(
    "name", ["steps", "refit", "reconciliation", "order", "ledger", "refused", "tags", "refit.pdf"]
)
def test_an_unknown_job_is_not_found_anywhere(bench: HttpBench, name: str) -> None:
    assert bench.get(f"/jobs/none/{name}").status_code == 404
