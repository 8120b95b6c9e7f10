"""How often pieces of limited use were used, followed through the odd ways of a job."""

from __future__ import annotations

from collections import Counter

import pytest
from ledger_bench import Bench, position, step

from partsvc.domain.use_counts import use_counts

LIMITED = {"part": "E", "rule": "limited", "max_uses": 3}


@pytest.fixture
def job(bench: Bench) -> str:
    return bench.open_job(step("S1", 10, position("P1", LIMITED, sets=2)))


def uses(bench: Bench, job: str) -> dict[str, Counter[int | None]]:
    """The uses of all pieces by the place they are in."""
    found: dict[str, Counter[int | None]] = {}
    for (_, spot), pieces in use_counts(bench.look(job)).at.items():
        for one, quantity in pieces.items():
            if quantity and spot.account == job:
                found.setdefault(str(spot.place), Counter())[one.times] += quantity
    return found


def test_what_came_new_begins_at_none_and_counts_when_it_is_tightened(
    bench: Bench, job: str
) -> None:
    old, new = bench.tags[:2]
    bench.act(job, "remove", position="P1", bag=old)
    bench.act(job, "issue", "desk", part="E", quantity=2, bag=new)
    assert uses(bench, job)[f"bag:{new}"] == {0: 2}
    bench.act(job, "fit", position="P1", bag=new)
    assert uses(bench, job)["loose:P1"] == {0: 2}

    bench.act(job, "secure", position="P1", part="E", quantity=1)

    assert uses(bench, job)["secured:P1"] == {1: 1}
    assert uses(bench, job)[f"bag:{old}"] == {None: 2}


def test_a_new_one_put_in_and_taken_out_untightened_is_still_unused(bench: Bench, job: str) -> None:
    old, new = bench.tags[:2]
    bench.act(job, "remove", position="P1", bag=old)
    bench.act(job, "issue", "desk", part="E", quantity=2, bag=new)
    bench.act(job, "fit", position="P1", bag=new)
    bench.act(job, "remove", position="P1", bag=new)

    assert uses(bench, job)[f"bag:{new}"] == {0: 2}


def test_the_count_stays_with_a_piece_whose_number_is_corrected(bench: Bench, job: str) -> None:
    bench.act(job, "remove", position="P1", bag=bench.tags[0])
    bench.act(job, "inspect", part="E", bag=bench.tags[0], result="pass", uses=1)

    bench.act(job, "correct", position="P1", becomes="B", reason="read on the head")

    assert uses(bench, job)[f"bag:{bench.tags[0]}"] == {1: 2}


def test_marks_counted_on_what_is_put_in_do_not_show_the_use_it_is_at(
    bench: Bench, job: str
) -> None:
    bench.act(job, "remove", position="P1", bag=bench.tags[0])
    bench.act(job, "inspect", part="E", bag=bench.tags[0], result="pass", uses=0)
    bench.act(job, "fit", position="P1", bag=bench.tags[0])
    assert uses(bench, job)["loose:P1"] == {1: 2}

    bench.act(job, "inspect", part="E", position="P1", quantity=1, result="pass", uses=2)

    assert uses(bench, job)["loose:P1"] == {1: 1, 3: 1}
    bench.act(job, "secure", position="P1")
    assert uses(bench, job)["secured:P1"] == {1: 1, 3: 1}


def test_a_look_that_was_undone_tells_nothing(bench: Bench, job: str) -> None:
    bench.act(job, "remove", position="P1", bag=bench.tags[0])
    look = bench.act(job, "inspect", part="E", bag=bench.tags[0], result="pass", uses=1)

    bench.act(job, "reverse", act=look["key"], reason="wrong bag")

    assert uses(bench, job)[f"bag:{bench.tags[0]}"] == {None: 2}
    refused = bench.refused(job, "fit", position="P1", bag=bench.tags[0])
    assert refused.reason == "not-inspected"


def test_pieces_nobody_can_account_for_are_unknown(bench: Bench, job: str) -> None:
    bench.act(job, "remove", position="P1", bag=bench.tags[0])
    bench.act(job, "inspect", part="E", bag=bench.tags[0], result="pass", uses=1)

    bench.done_anyway(job, "fit", position="P1", bag=bench.tags[0], quantity=3)

    assert uses(bench, job)["loose:P1"] == {2: 2, None: 1}


def test_what_is_lost_and_found_keeps_its_count(bench: Bench, job: str) -> None:
    bench.act(job, "remove", position="P1", bag=bench.tags[0])
    bench.act(job, "inspect", part="E", bag=bench.tags[0], result="pass", uses=1)
    bench.act(job, "lose", part="E", bag=bench.tags[0])

    bench.act(job, "find", part="E", bag=bench.tags[1])

    assert uses(bench, job)[f"bag:{bench.tags[1]}"] == {1: 1}
