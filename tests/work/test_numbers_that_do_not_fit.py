"""What people say about pieces in bags and positions, when it does not fit the book."""

from __future__ import annotations

import pytest
from ledger_bench import Bench, position, step

from partsvc.errors import Invalid, NotFound


@pytest.fixture
def job(bench: Bench) -> str:
    return bench.open_job(
        step(
            "S1",
            10,
            position("P1", {"part": "B"}, {"part": "W"}, sets=4),
            position("P2", {"part": "C"}, sets=4),
            position("P3", {"part": "A", "rule": "replace"}, sets=2),
        )
    )


@pytest.fixture
def k(bench: Bench) -> str:
    return bench.tags[0]


def test_more_broken_ones_than_the_book_has_leave_the_good_ones_alone(
    bench: Bench, job: str, k: str
) -> None:
    bench.act(job, "remove", position="P2", bag=k, broken=1)

    bench.done_anyway(job, "discard", bag=k, condition="damaged", part="C", quantity=2)

    assert bench.at(job, f"bag:{k}") == {"C": 3}
    assert bench.at(job, "scrap:bin") == {"C damaged": 2}
    assert bench.reconcile(job).gates == {"opening": 14, "addition": 1}


def test_a_number_of_a_mixture_asks_which_part_is_meant(bench: Bench, job: str, k: str) -> None:
    bench.act(job, "remove", position="P1", bag=k)

    with pytest.raises(Invalid, match="which `part`"):
        bench.act(job, "rebag", bag=k, into=bench.tags[1], quantity=3)


def test_a_part_nobody_has_heard_of_is_never_let_into_the_book(
    bench: Bench, job: str, k: str
) -> None:
    bench.act(job, "remove", position="P1", bag=k)

    for kind, members in (
        ("lose", {"bag": k, "part": "slip of the hand"}),
        ("discard", {"bag": k, "part": "slip of the hand", "quantity": 1}),
        ("fit", {"bag": k, "position": "P1", "part": "slip of the hand", "quantity": 1}),
        ("secure", {"position": "P1", "part": "slip of the hand", "quantity": 1}),
        ("count", {"bag": k, "counted": [{"part": "slip of the hand", "quantity": 1}]}),
    ):
        with pytest.raises(NotFound, match="slip of the hand"):
            bench.done_anyway(job, kind, **members)  # type: ignore[arg-type]


def test_an_exchange_takes_the_old_ones_however_many_new_ones_lie_beside_them(
    bench: Bench, job: str, k: str
) -> None:
    old = bench.tags[1]
    bench.act(job, "remove", position="P2", bag=k)
    bench.act(job, "exchange", "desk", bag=k, old_parts=old, part="C", quantity=2)

    bench.act(job, "exchange", "desk", bag=k, old_parts=old, part="C", quantity=2)

    assert bench.at(job, f"bag:{k}") == {"C new": 4}
    assert bench.at(job, f"bag:{old}") == {"C": 4}


@pytest.mark.parametrize("kind", ["rebag", "exchange"])
def test_one_bag_is_not_two(bench: Bench, job: str, k: str, kind: str) -> None:
    bench.act(job, "remove", position="P2", bag=k)
    other = {"rebag": {"into": k}, "exchange": {"old_parts": k, "part": "C"}}[kind]

    with pytest.raises(Invalid):
        bench.act(job, kind, "lead", bag=k, **other)

    assert bench.kinds_of(job) == ["open", "remove"]


def test_fitting_what_a_bag_holds_conjures_nothing_to_make_the_number_up(
    bench: Bench, job: str, k: str
) -> None:
    bench.act(job, "remove", position="P2", bag=k, broken=2)
    bench.act(job, "fit", position="P2", bag=k)

    refused = bench.refused(job, "fit", position="P2", bag=k)
    bench.done_anyway(job, "fit", position="P2", bag=k)

    assert refused.reason == "damaged"
    assert bench.at(job, "loose:P2") == {"C": 2, "C damaged": 2}
    assert bench.reconcile(job).gates == {"opening": 14}


def test_a_part_that_is_complete_does_not_stop_the_rest_of_its_set(
    bench: Bench, job: str, k: str
) -> None:
    bench.act(job, "remove", position="P1", bag=k)
    bench.act(job, "issue", "desk", bag=k, part="B", quantity=1)
    bench.act(job, "fit", position="P1", bag=k, part="B")

    bench.act(job, "fit", position="P1", bag=k)

    assert bench.at(job, "loose:P1") == {"B": 4, "W": 4}


def test_sets_and_pieces_are_not_both_said(bench: Bench, job: str, k: str) -> None:
    bench.act(job, "loosen", position="P2")

    for kind, members in (
        ("remove", {"bag": k}), ("missing", {}), ("fit", {"bag": k}), ("secure", {}),
    ):  # fmt: skip
        with pytest.raises(Invalid, match="not in both"):
            bench.act(job, kind, position="P2", sets=1, quantity=2, **members)  # type: ignore[arg-type]


def test_so_many_pieces_of_a_set_of_two_asks_which_part(bench: Bench, job: str) -> None:
    bench.act(job, "loosen", position="P1")

    with pytest.raises(Invalid, match="say `part`"):
        bench.act(job, "secure", position="P1", quantity=3)


def test_own_holes_are_filled_once(bench: Bench, job: str) -> None:
    bench.act(job, "remove", position="P2", own_hole=True)

    assert bench.refused(job, "remove", position="P2", own_hole=True).reason == "nothing-there"


def test_new_pieces_are_used_once_they_leave_their_position_lost_or_missing(
    bench: Bench, job: str, k: str
) -> None:
    bench.act(job, "remove", position="P2", bag=k)
    bench.act(job, "discard", bag=k)
    bench.act(job, "issue", "desk", bag=k, part="C", quantity=4)
    bench.act(job, "secure", position="P2", bag=k)

    bench.act(job, "lose", position="P2", part="C")
    bench.act(job, "missing", position="P2", quantity=1)

    assert bench.at(job, "secured:P2") == {"C new": 2}
    assert bench.at(job, "lost:secured:P2") == {"C": 1}
    assert bench.at(job, "missing:P2") == {"C": 1}


def test_a_piece_in_its_own_hole_can_be_lost_too(bench: Bench, job: str) -> None:
    bench.act(job, "remove", position="P2", own_hole=True)

    bench.act(job, "lose", position="P2", part="C")

    assert bench.at(job, "lost:own-hole:P2") == {"C": 1}


def test_a_lot_named_at_a_position_is_the_lot_that_is_taken(bench: Bench, job: str, k: str) -> None:
    bench.act(job, "remove", position="P2", bag=k, quantity=1)
    bench.act(job, "discard", bag=k)
    issued = bench.act(job, "issue", "desk", bag=k, part="C", quantity=1)
    bench.act(job, "secure", position="P2", bag=k)

    bench.act(job, "inspect", position="P2", part="C", lot=issued["key"], result="fail")
    bench.act(job, "lose", position="P2", part="C", lot=issued["key"])

    assert bench.at(job, "secured:P2") == {"C": 3}


def test_a_part_stands_in_a_set_once(bench: Bench, job: str) -> None:
    with pytest.raises(Invalid, match="belongs at"):
        bench.act(job, "correct", position="P1", part="B", becomes="W", reason="looks like it")


def test_a_count_is_not_adjusted_once_the_bag_has_moved_even_there_and_back(
    bench: Bench, job: str, k: str
) -> None:
    bench.act(job, "remove", position="P2", bag=k)
    counted = bench.act(job, "count", bag=k, counted=[{"part": "C", "quantity": 3}])
    bench.act(job, "rebag", bag=k, into=bench.tags[1])
    bench.act(job, "rebag", bag=bench.tags[1], into=k)

    refused = bench.refused(job, "adjust", "mate", count=counted["key"], reason="three")

    assert refused.reason == "stale-count"
