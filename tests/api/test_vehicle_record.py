"""What stays on a vehicle's record over all its jobs, read in as many queries as for one."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest
from http_bench import HttpBench, Json
from ledger_bench import STATEMENT, position, step

from partsvc.store import keeping
from partsvc.work.vehicle_records import vehicle_record


@pytest.fixture
def van(bench: HttpBench) -> str:
    plan = {
        "key": "battery",
        "title": "battery",
        "steps": [
            step("S1", 10, position("P1", {"part": "C"}, sets=2)),
            step("S2", 20, position("P2", {"part": "B"}, sets=1)),
        ],
    }
    with bench.ledger.service.database.writing() as db:
        keeping.add_revision(
            db, bench.ledger.service.site, procedure="battery", number=1, title="battery",
            digest="0" * 64, text=json.dumps(plan), by="lead", at="2030-01-01",
        )  # fmt: skip
    return str(bench.made("/vehicles", {"model": "van"}, "desk")["id"])


def job_of(bench: HttpBench, van: str) -> str:
    given = {"title": "battery", "vehicle": van, "procedure": "battery"}
    return str(bench.made("/jobs", given)["id"])


def eventful(bench: HttpBench, van: str, bag: str) -> str:
    """A job on which much happened that the vehicle keeps."""
    job = job_of(bench, van)
    cracked = bench.act(
        job, "remark", position="P2", words="thread stripped", defect="stripped-thread"
    )
    bench.act(job, "remark", position="P1", words="bracket scratched")
    bench.act(job, "remove", position="P1", bag=bag, broken=1, rest="in-vehicle")
    bench.act(job, "lose", part="C", bag=bag, words="rolled away")
    bench.act(
        job, "correct", "quality", position="P2", repaired="thread insert M6 fitted",
        settles=cracked["key"], reason="stripped",
    )  # fmt: skip
    bench.act(job, "differs", position="P2", sets=2, reason="a second bolt at the rear")
    bench.act(job, "accept", "quality", finding="remark", reason="cosmetic", place="P1")
    return job


def words_of(lines: list[Json]) -> list[tuple[str, str, str, str]]:
    return [(one["kind"], one["where"], one["words"], one["reason"]) for one in lines]


def test_everything_a_vehicle_keeps_is_on_its_record(bench: HttpBench, van: str) -> None:
    job = eventful(bench, van, bench.tags[0])

    record = bench.look(f"/vehicles/{van}/record")

    assert [(one["id"], one["state"]) for one in record["jobs"]] == [(job, "open")]
    assert [(one["called"], one["still_lost"]) for one in record["lost"]] == [("trim clip (C)", 1)]
    assert [(one["where"], one["still_there"]) for one in record["fragments"]] == [
        ("step 10, at P1", 1)
    ]
    assert words_of(record["accepted"]) == [
        ("remark", "step 10, at P1", "bracket scratched", "cosmetic")
    ]
    assert words_of(record["repaired"]) == [
        ("repaired", "step 20, at P2", "thread insert M6 fitted", "")
    ]
    assert [(kind, where, why) for kind, where, _, why in words_of(record["differs"])] == [
        ("differs", "step 20, at P2", "a second bolt at the rear")
    ]
    assert record["releases"] == []


def test_what_was_undone_is_not_on_the_record(bench: HttpBench, van: str) -> None:
    job = job_of(bench, van)
    bench.act(job, "remove", position="P1", bag=bench.tags[0])
    lost = bench.act(job, "lose", part="C", bag=bench.tags[0])
    bench.act(job, "reverse", act=lost["key"], reason="it was in the other hand")

    assert bench.look(f"/vehicles/{van}/record")["lost"] == []


def test_the_jobs_stand_in_their_order_and_every_release_with_its_head(
    bench: HttpBench, van: str
) -> None:
    jobs = [job_of(bench, van) for _ in range(2)]
    heads = []
    for job in (jobs[0], jobs[1], jobs[0]):
        if bench.look(f"/jobs/{job}")["state"] == "released":
            bench.act(job, "reopen", "lead", reason="rattles")
        heads.append(bench.look(f"/jobs/{job}")["head"])
        bench.act(job, "release", "lead", head=heads[-1], **STATEMENT)

    record = bench.look(f"/vehicles/{van}/record")

    assert [one["id"] for one in record["jobs"]] == jobs
    assert [(one["job"], one["head"]) for one in record["releases"]] == [
        (jobs[0], heads[0]), (jobs[0], heads[2]), (jobs[1], heads[1]),
    ]  # fmt: skip


def test_many_jobs_are_read_in_as_many_queries_as_one(bench: HttpBench, van: str) -> None:
    def queries() -> int:
        seen: list[str] = []
        connection = bench.ledger.service.database.connection
        connection.set_trace_callback(seen.append)
        vehicle_record(bench.ledger.service, van)
        connection.set_trace_callback(None)
        return len([one for one in seen if one.lstrip().upper().startswith("SELECT")])

    eventful(bench, van, bench.tags[0])
    vehicle_record(bench.ledger.service, van)
    one_job = queries()
    for number in range(1, 4):
        eventful(bench, van, bench.tags[number])

    assert queries() == one_job


def plans(bench: HttpBench, sql: str) -> Iterator[str]:
    for row in bench.ledger.service.database.connection.execute(f"EXPLAIN QUERY PLAN {sql}"):
        yield row["detail"]


def test_the_jobs_of_a_vehicle_are_found_by_their_index(bench: HttpBench) -> None:
    sql = "SELECT id FROM job WHERE site = 'x' AND vehicle = 'v' ORDER BY number"

    (how,) = plans(bench, sql)

    assert "job_of_vehicle" in how
