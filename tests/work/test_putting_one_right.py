"""One bolt changed on its own after the refit is putting right: nobody must take all off again."""

from __future__ import annotations

from ledger_bench import Bench, position, step


def van(bench: Bench) -> str:
    """A cover before a bracket; both were off, and both are back."""
    job = bench.open_job(
        step("cover", 10, position("P1", {"part": "B"}, sets=2)),
        step("bracket", 20, position("P2", {"part": "C"}, sets=2), after=["cover"]),
    )
    for n, at in enumerate(("P1", "P2")):
        bench.act(job, "remove", position=at, bag=bench.tags[n])
    return job


def test_a_piece_that_was_off_before_may_come_off_again_behind_what_is_back(bench: Bench) -> None:
    job = van(bench)
    bench.act(job, "secure", position="P2", bag=bench.tags[1])
    bench.act(job, "secure", position="P1", bag=bench.tags[0])

    body = bench.act(job, "remove", position="P2", bag=bench.tags[1], quantity=1)

    assert any("back in place already" in str(words) for words in body["warnings"])  # type: ignore[union-attr]
    assert ("not-back", "P2", 1) in bench.findings(job)


def test_a_piece_that_never_was_off_still_waits_for_what_is_in_front(bench: Bench) -> None:
    job = bench.open_job(
        step("cover", 10, position("P1", {"part": "B"}, sets=2)),
        step("bracket", 20, position("P2", {"part": "C"}, sets=2), after=["cover"]),
    )
    bench.act(job, "remove", position="P1", bag=bench.tags[0])
    bench.act(job, "secure", position="P1", bag=bench.tags[0])

    refused = bench.refused(job, "remove", position="P2", bag=bench.tags[1])

    assert refused.reason == "step-first"
