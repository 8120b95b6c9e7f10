"""The worked example that the model was built on: every movement, balance and finding of it."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from ledger_bench import STATEMENT, WORKSHOP, Bench, position, step

from partsvc.domain.reconciliation import PartAccount
from partsvc.domain.records import Plain

TORQUE: dict[str, Plain] = {"id": "torque", "words": "torque"}


@dataclass
class Example:
    """The bench with the example's job and its three bags."""

    bench: Bench
    job: str
    k1: str
    k2: str
    n1: str


@pytest.fixture
def example(bench: Bench) -> Example:
    """P1 holds 4 single-use bolts A, P2 holds 2 clips C that may be used again."""
    job = bench.open_job(
        step(
            "S1", 10,
            position("P1", {"part": "A", "rule": "replace"}, sets=4, stages=[TORQUE]),
            position("P2", {"part": "C"}, sets=2),
        )
    )  # fmt: skip
    return Example(bench, job, *bench.tags[:3])


# Who, on which account, what, and what then lies at the places that changed.
Movement = tuple[str, str, dict[str, Plain], dict[str, dict[str, int]]]


def movements(job: str, k1: str, k2: str, n1: str) -> list[Movement]:
    """The example's table. Names of places are those of the stored balances."""
    bag1, bag2, kit = f"bag:{k1}", f"bag:{k2}", f"bag:{n1}"
    store = "stock:main"
    return [
        ("tech", job, {"kind": "remove", "position": "P1", "bag": k1},
         {"secured:P1": {}, bag1: {"A": 4}}),
        ("tech", job, {"kind": "remove", "position": "P2", "bag": k2, "broken": 1},
         {"secured:P2": {}, bag2: {"C": 1, "C damaged": 1}}),
        ("desk", WORKSHOP, {"kind": "receive", "part": "A", "quantity": 4},
         {store: {"A new": 4}}),
        ("desk", WORKSHOP, {"kind": "receive", "part": "C", "quantity": 1},
         {store: {"A new": 4, "C new": 1}}),
        ("desk", job, {"kind": "issue", "part": "A", "quantity": 4, "bag": n1},
         {kit: {"A new": 4}}),
        ("desk", job, {"kind": "issue", "part": "C", "quantity": 1, "bag": n1},
         {kit: {"A new": 4, "C new": 1}}),
        ("tech", job, {"kind": "discard", "bag": k1},
         {bag1: {}, "scrap:bin": {"A": 4}}),
        ("tech", job, {"kind": "discard", "bag": k2, "condition": "damaged"},
         {bag2: {"C": 1}, "scrap:bin": {"A": 4, "C damaged": 1}}),
        ("tech", job, {"kind": "fit", "position": "P1", "bag": n1},
         {kit: {"C new": 1}, "loose:P1": {"A new": 4}}),
        ("tech", job, {"kind": "secure", "position": "P1", "quantity": 3},
         {"loose:P1": {"A new": 1}, "secured:P1": {"A": 3}}),
        ("tech", job, {"kind": "secure", "position": "P2", "bag": k2},
         {bag2: {}, "secured:P2": {"C": 1}}),
        ("tech", job, {"kind": "secure", "position": "P2", "bag": n1},
         {kit: {}, "secured:P2": {"C": 1, "C new": 1}}),
        ("tech", job, {"kind": "secure", "position": "P1"},
         {"loose:P1": {}, "secured:P1": {"A": 4}}),
    ]  # fmt: skip


def play(example: Example, until: int | None = None) -> None:
    """The movements in order, each balance looked up in the store as soon as it is said to be."""
    table = movements(example.job, example.k1, example.k2, example.n1)
    for who, account, payload, then in table[:until]:
        kind, members = str(payload["kind"]), {k: v for k, v in payload.items() if k != "kind"}

        example.bench.act(account, kind, who, **members)

        assert {place: example.bench.at(account, place) for place in then} == then


def test_the_opening_lets_everything_in_by_the_gate(example: Example) -> None:
    assert example.bench.at(example.job, "secured:P1") == {"A": 4}
    assert example.bench.at(example.job, "secured:P2") == {"C": 2}
    assert example.bench.reconcile(example.job).gates == {"opening": 6}
    assert example.bench.findings(example.job) == []


def test_every_movement_leaves_the_balances_that_the_table_states(example: Example) -> None:
    play(example)

    assert example.bench.kinds_of(example.job) == [
        "open", "remove", "remove", "issue", "issue", "discard", "discard", "fit", "secure",
        "secure", "secure", "secure",
    ]  # fmt: skip
    assert example.bench.kinds_of(WORKSHOP) == ["receive", "receive"]


def test_the_store_is_empty_again_once_its_parts_are_issued(example: Example) -> None:
    play(example)

    assert example.bench.at(WORKSHOP, "stock:main") == {}


def test_each_piece_keeps_the_lot_it_came_from(example: Example) -> None:
    play(example)

    lots = {
        (held.part, str(held.spot.place), held.spot.lot, held.quantity)
        for held in example.bench.look(example.job).book.holdings()
    }
    (issued_a, issued_c) = [
        lot for part in "AC" for p, place, lot, _ in lots if p == part and place.startswith("sec")
        and lot not in ("P1", "P2")
    ]  # fmt: skip
    assert lots == {
        ("A", "secured:P1", issued_a, 4),
        ("A", "scrap:bin", "P1", 4),
        ("C", "secured:P2", "P2", 1),
        ("C", "secured:P2", issued_c, 1),
        ("C", "scrap:bin", "P2", 1),
    }


def test_with_one_bolt_still_loose_there_is_one_finding_and_not_a_second(example: Example) -> None:
    play(example, until=-1)

    assert example.bench.findings(example.job) == [("loose", "P1", 1)]
    assert not example.bench.reconcile(example.job).book_closes


def test_both_sides_of_each_part_add_up_before_the_last_bolt(example: Example) -> None:
    play(example, until=-1)

    assert example.bench.reconcile(example.job).accounts == (
        PartAccount(
            part="A",
            came_in={"opening": 4, "stock": 4},
            went_out={},
            is_now={"secured": 3, "loose": 1, "scrap": 4},
        ),
        PartAccount(
            part="C",
            came_in={"opening": 2, "stock": 1},
            went_out={},
            is_now={"secured": 2, "scrap": 1},
        ),
    )


def test_the_book_closes_with_the_last_bolt_and_nobody_has_looked_yet(example: Example) -> None:
    play(example)
    whole = example.bench.reconcile(example.job)

    assert whole.book_closes
    assert {one.part: sum(one.is_now.values()) for one in whole.accounts} == {"A": 8, "C": 3}
    assert all(one.balanced for one in whole.accounts)
    assert (whole.bags_used, whole.bags_seen_empty) == (3, 0)
    assert not whole.seen


def test_the_job_is_released_only_after_the_bags_were_seen_empty(example: Example) -> None:
    bench, job = example.bench, example.job
    play(example)

    refused = bench.refused(job, "release", "quality", head=bench.look(job).head, **STATEMENT)
    bench.act(job, "seen-empty", bags=[example.k1, example.k2, example.n1])
    bench.act(job, "release", "quality", head=bench.look(job).head, **STATEMENT)

    assert refused.reason == "findings-open"
    assert bench.reconcile(job).open == ()
    assert bench.reconcile(job).seen
    assert bench.kinds_of(job)[-2:] == ["seen-empty", "release"]
    assert bench.kinds_of(WORKSHOP)[-1] == "note"


def test_the_old_bolts_are_not_fitted_by_mistake(example: Example) -> None:
    play(example, until=6)

    refused = example.bench.refused(example.job, "fit", position="P1", bag=example.k1)

    assert refused.reason == "single-use"
    assert "4 new in bag" in refused.detail
