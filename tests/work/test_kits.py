"""Kits handed out: no piece is made or lost on the way, and each is as new as it was."""

from __future__ import annotations

import json
import tempfile
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from ledger_bench import Bench, position, step

from partsvc.domain.ledger import recount
from partsvc.domain.places import bag
from partsvc.domain.reuse import uses_left
from partsvc.store import keeping

CONTENTS = st.dictionaries(st.sampled_from("ACDW"), st.integers(1, 5), min_size=1)


def kit(bench: Bench, contents: dict[str, int]) -> None:
    """A kit of this number in the catalogue."""
    held = [{"part": part, "quantity": quantity} for part, quantity in contents.items()]
    text = json.dumps({"number": "KIT", "name": "kit", "contents": held})
    with bench.service.database.writing() as db:
        keeping.put_part(db, bench.service.site, number="KIT", name="kit", kind="other", text=text)


@given(CONTENTS, st.integers(1, 4), st.sampled_from(["stock", "bench", "delivered"]))
@settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck))
def test_no_piece_is_made_or_lost_when_kits_are_unpacked(
    contents: dict[str, int], many: int, source: str
) -> None:
    bench = Bench.opened(Path(tempfile.mkdtemp()))
    kit(bench, contents)
    job = bench.open_job()
    bench.act("workshop", "receive", "desk", part="KIT", quantity=2)

    said = bench.act(
        job, "issue", "desk", part="KIT", quantity=many, bag=bench.tags[0], source=source
    )

    desk = bench.look(job)
    inside = {held.part: held.quantity for held in desk.book.at(bag(bench.tags[0]))}
    assert inside == {part: many * quantity for part, quantity in contents.items()}
    for part, quantity in inside.items():
        assert uses_left(desk.posted, part, str(said["key"])) == quantity
    per_part: dict[str, int] = {}
    for (part, _), quantity in recount(posted.entry for posted in desk.posted).items():
        per_part[part] = per_part.get(part, 0) + quantity
    assert set(per_part.values()) == {0}
    assert all(account.balanced for account in bench.reconcile(job).accounts)
    bench.service.database.close()


def test_a_kit_that_the_plan_names_as_one_piece_stays_one(bench: Bench) -> None:
    kit(bench, {"C": 2})
    job = bench.open_job(step("S1", 10, position("P1", {"part": "KIT"}, sets=1)))

    bench.act(job, "issue", "desk", part="KIT", quantity=1, bag=bench.tags[0])

    assert bench.at(job, f"bag:{bench.tags[0]}") == {"KIT new": 1}


def test_the_batch_of_a_kit_is_that_of_what_it_holds(bench: Bench) -> None:
    kit(bench, {"C": 2})
    job = bench.open_job()

    said = bench.act(
        job, "issue", "desk", part="KIT", quantity=1, bag=bench.tags[0], source="bench", batch="7"
    )

    batches = [one for one in said["effects"] if one["effect"] == "batch-issued"]  # type: ignore[index, union-attr]
    assert {(one["part"], one["batch"]) for one in batches} == {("KIT", "7"), ("C", "7")}
