"""A mistake is found and put right by saying what was really done, without a lie on the way."""

from __future__ import annotations

import json

from ledger_bench import Bench, position, step

from partsvc.store import keeping


def exchanged(bench: Bench) -> tuple[str, str, str]:
    """A long bolt sits where a reaction bolt belongs: the wrong bag was scanned too late."""
    job = bench.open_job(
        step("S1", 10, position("P1", {"part": "E"}, sets=1), position("P2", {"part": "B"}, sets=1))
    )
    first, second = bench.tags[:2]
    bench.act(job, "remove", position="P1", bag=first)
    bench.act(job, "remove", position="P2", bag=second)
    bench.done_anyway(job, "secure", position="P1", bag=second)
    return job, first, second


def test_a_wrong_part_comes_out_again_by_its_own_number(bench: Bench) -> None:
    job, first, second = exchanged(bench)

    bench.act(job, "remove", position="P1", part="B", bag=second)
    bench.act(job, "secure", position="P1", bag=first)
    bench.act(job, "secure", position="P2", bag=second)

    assert bench.at(job, "secured:P1") == {"E": 1}
    assert bench.at(job, "secured:P2") == {"B": 1}


def test_a_wrong_part_is_refused_also_when_it_is_named(bench: Bench) -> None:
    job, _, second = exchanged(bench)
    bench.act(job, "remove", position="P1", part="B", bag=second)

    refused = bench.refused(job, "secure", position="P1", part="B", bag=second, quantity=1)

    assert refused.reason == "wrong-part"
    assert "reaction bolt (E)" in refused.detail


def test_a_refusal_writes_the_tag_as_it_is_printed(bench: Bench) -> None:
    job, first, second = exchanged(bench)
    bench.act(job, "remove", position="P1", part="B", bag=second)

    refused = bench.refused(job, "secure", position="P2", bag=first)

    assert refused.detail.startswith(f"Bag {first[:4]}-{first[4:]} holds 1 reaction bolt")


def test_the_old_stretch_bolt_is_the_one_taken_out_again(bench: Bench) -> None:
    job = bench.open_job(step("S1", 10, position("P1", {"part": "A", "rule": "replace"}, sets=3)))
    old, new = bench.tags[:2]
    bench.act(job, "remove", position="P1", bag=old)
    bench.act(job, "issue", "desk", part="A", quantity=3, bag=new)
    bench.act(job, "secure", position="P1", bag=new, quantity=2)
    bench.done_anyway(job, "secure", position="P1", bag=old, quantity=1)
    assert ("unreplaced", "P1", 1) in bench.findings(job)

    bench.act(job, "remove", position="P1", quantity=1, bag=old)
    bench.act(job, "secure", position="P1", bag=new)
    bench.act(job, "discard", bag=old)

    assert bench.findings(job) == [("done-anyway", "P1", 1)]


def test_pieces_off_keep_their_number_when_a_successor_takes_their_place(bench: Bench) -> None:
    new_number = {"number": "C2", "name": "trim clip, long leg", "kind": "clip"}
    with bench.service.database.writing() as db:
        for part in (
            {"number": "C", "name": "trim clip", "kind": "clip", "superseded_by": "C2"},
            new_number,
        ):
            keeping.put_part(
                db, bench.service.site, number=part["number"], name=part["name"],
                kind=part["kind"], text=json.dumps(part),
            )  # fmt: skip
    job = bench.open_job(step("S1", 10, position("P1", {"part": "C", "rule": "replace"}, sets=2)))
    bag, old = bench.tags[:2]
    bench.act(job, "remove", position="P1", bag=bag)

    bench.act(job, "correct", position="P1", becomes="C2", reason="C is no longer made")
    bench.act(job, "exchange", "desk", bag=bag, old_parts=old, part="C", new_part="C2")
    bench.act(job, "secure", position="P1", bag=bag)
    bench.act(job, "discard", bag=old)

    assert bench.at(job, "scrap:bin") == {"C": 2}
    assert bench.at(job, "secured:P1") == {"C2 new": 2}
    assert bench.findings(job) == []


def capped(bench: Bench) -> str:
    """Two plugs and two ports under the same kind of cap, all to be off before the fill."""
    caps = [
        {"id": name, "words": f"caps on both {name}", "quantity": 2, "part": "cap",
         "off_before": "S2"}
        for name in ("plugs", "ports")
    ]  # fmt: skip
    job = bench.open_job(
        step("S1", 10, temporaries=caps),
        step("S2", 20, phase="refit", refit_after=["S1"]),
    )
    for cap in caps:
        bench.act(job, "put-on", step="S1", item=str(cap["id"]))
    return job


def test_taking_the_caps_off_the_plugs_leaves_those_on_the_ports(bench: Bench) -> None:
    job = capped(bench)

    bench.act(job, "take-off", step="S1", item="plugs")

    assert bench.at(job, "on-vehicle:S1") == {"cap": 2}


def test_a_cap_left_on_is_told_when_the_step_begins_that_wants_it_off(bench: Bench) -> None:
    job = capped(bench)
    bench.act(job, "take-off", step="S1", item="plugs")

    told = bench.act(job, "done", step="S2")["warnings"]

    assert any("Still on the vehicle" in str(words) for words in told)  # type: ignore[union-attr]
    assert ("on-vehicle", "on-vehicle:S1", 2) in bench.findings(job)
