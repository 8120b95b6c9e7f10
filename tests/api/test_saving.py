"""A job without a procedure becomes the procedure of the next one."""

from __future__ import annotations

from http_bench import HttpBench, problem


def test_the_record_made_while_stripping_becomes_the_plan_of_the_next_job(
    bench: HttpBench,
) -> None:
    job = bench.open_job()
    new = {"where": "sill, front", "quantity": 3, "part": "C", "step_title": "sill trim"}
    bench.act(job, "remove", bag=bench.tags[0], add=new)

    saved = bench.made(f"/jobs/{job}/procedure", {"key": "sill", "title": "Sill trim"}, "lead")
    again = bench.made("/jobs", {"title": "next", "procedure": saved["procedure"]}, "lead")

    strip = bench.look(f"/jobs/{again['id']}/steps")
    assert [one["where"] for step in strip["steps"] for one in step["positions"]] == ["sill, front"]
    assert strip["pieces"] == 3


def test_a_job_with_a_part_nobody_named_is_not_saved_yet(bench: HttpBench) -> None:
    job = bench.open_job()
    new = {"where": "sill", "quantity": 1, "words": "black clip", "step_title": "sill trim"}
    bench.act(job, "remove", bag=bench.tags[0], add=new)

    found = bench.post(f"/jobs/{job}/procedure", {"key": "sill", "title": "Sill"}, "lead")

    assert found.status_code == 409
    assert problem(found)["reason"] == "parts-not-named"
