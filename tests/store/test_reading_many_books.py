"""What is read over all jobs is read in so many statements, however many jobs there are."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from ledger_bench import WORKSHOP, Bench, position, step

from partsvc.store import between
from partsvc.work import away_list, bay, reconciling
from partsvc.work.service import Service

STEPS = step("S1", 10, position("P1", {"part": "C"}, sets=2), position("P2", {"part": "B"}, sets=2))


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench.opened(tmp_path / "workshop")


def statements(service: Service, look: Callable[[], object]) -> int:
    """How many statements a look asks the database."""
    asked: list[str] = []
    service.database.connection.set_trace_callback(asked.append)
    look()
    service.database.connection.set_trace_callback(None)
    return len(asked)


def a_job_with_something_missing_and_something_away(bench: Bench) -> str:
    job = bench.open_job(STEPS)
    bench.act(job, "missing", position="P1", quantity=1)
    bench.act(job, "send-away", position="P2", to="paint shop", due="2099-12-31")
    return job


def test_strays_and_what_is_away_are_read_at_once_for_all_jobs(bench: Bench) -> None:
    service = bench.service
    bench.act(WORKSHOP, "stray", bag=bench.tags[0], words="clip")
    a_job_with_something_missing_and_something_away(bench)
    looks = (lambda: bay.strays(service), lambda: away_list.away(service))
    one = [statements(service, look) for look in looks]

    for _ in range(4):
        a_job_with_something_missing_and_something_away(bench)

    assert [statements(service, look) for look in looks] == one
    assert len(away_list.away(service).away) == 5
    assert [len(found.could_be) for found in bay.strays(service).strays] == [5]


def test_a_reconciliation_asks_no_more_for_the_many_jobs_that_borrowed(bench: Bench) -> None:
    lender = bench.open_job(STEPS)
    others = [bench.open_job(STEPS) for _ in range(3)]
    reconciling.reconciliation(bench.service, lender)
    looked = statements(bench.service, lambda: reconciling.reconciliation(bench.service, lender))

    for n, other in enumerate(others, start=1):
        bench.act(other, "borrow", bag=bench.tags[n], part="C", from_job=lender)

    again = statements(bench.service, lambda: reconciling.reconciliation(bench.service, lender))
    assert again == looked
    assert len(reconciling.reconciliation(bench.service, lender).findings) == 3


def test_each_of_these_readings_has_an_index(bench: Bench) -> None:
    def way(read: Callable[..., object], *given: object, **named: object) -> str:
        told: list[str] = []
        with bench.service.database.reading() as db:

            class Asked:
                """Tells the way a statement is answered, and answers it."""

                def execute(self, sql: str, values: object) -> object:
                    rows = db.execute(f"EXPLAIN QUERY PLAN {sql}", values)  # type: ignore[arg-type]
                    told.extend(row["detail"] for row in rows)
                    return db.execute(sql, values)  # type: ignore[arg-type]

            read(Asked(), bench.service.site, *given, **named)
        return "; ".join(told)

    assert "effect_between (site=? AND <expr>=?)" in way(between.said_elsewhere, "j1")
    assert "balance_away (site=? AND place>? AND place<?)" in way(between.away)
    assert "effect_by_kind (site=? AND account=? AND kind=?)" in way(between.strays, WORKSHOP)
    assert "effect_by_kind (site=? AND account=? AND kind=?)" in way(between.said_of_away, ["j1"])
    assert "note_by_time (site=? AND received_at>?)" in way(
        between.jobs_at_hand, released_since="2030-01-01"
    )
