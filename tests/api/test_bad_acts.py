"""Acts that the plan, the book or the tag forbids: refused, saying what to do instead."""

from __future__ import annotations

import pytest
from http_bench import HttpBench, problem
from ledger_bench import STATEMENT, position, step

STEPS = (
    step("S1", 1, position("P1", {"part": "A", "rule": "replace"}, sets=4)),
    step("S2", 2, position("P2", {"part": "C"}, sets=2), after=["S1"]),
)


def test_a_mistyped_tag_code_says_which_characters_look_wrong(bench: HttpBench) -> None:
    job = bench.open_job(*STEPS)
    right = bench.tags[3]
    wrong = right[:4] + ("3" if right[4] != "3" else "4") + right[5:]

    refused = bench.refused(job, "remove", position="P1", bag=wrong)

    assert (refused["status"], refused["code"]) == (422, "mistyped-code")
    assert refused["suspects"] == ["5"]
    assert refused["suggestions"] == [right]
    assert refused["field"] == "bag"


def test_a_tag_that_was_never_printed_is_not_found(bench: HttpBench) -> None:
    job = bench.open_job(*STEPS)

    refused = bench.refused(job, "remove", position="P1", bag="7K3M-9HWZ")

    assert (refused["status"], refused["code"]) == (404, "not-found")
    assert "7K3M-9HWZ" in refused["detail"]


def test_a_tag_of_another_job_names_that_job(bench: HttpBench) -> None:
    first, second = bench.open_job(*STEPS), bench.open_job(*STEPS)
    bench.remove(first, "P1", bench.tags[0])

    refused = bench.refused(second, "remove", position="P1", bag=bench.tags[0])

    assert (refused["status"], refused["reason"]) == (409, "tag-of-another-job")
    assert "step 1 of job 1" in refused["detail"]


def test_a_void_tag_is_refused(bench: HttpBench) -> None:
    job = bench.open_job(*STEPS)
    void = bench.post(f"/tags/{bench.tags[0]}/void", {"reason": "torn"})
    assert void.status_code == 200

    refused = bench.refused(job, "remove", position="P1", bag=bench.tags[0])

    assert (refused["status"], refused["reason"]) == (409, "void-tag")


def test_more_pieces_than_are_there_are_refused_and_can_be_recorded(bench: HttpBench) -> None:
    job = bench.open_job(*STEPS)
    body = {"position": "P1", "bag": bench.tags[0], "quantity": 5}

    refused = bench.refused(job, "remove", **body)
    recorded = bench.act(job, "remove", already_done={"reason": "five came off"}, **body)

    assert (refused["status"], refused["reason"]) == (409, "more-than-are-there")
    assert refused["there"] == 4
    assert [one["effect"] for one in recorded["effects"]].count("overridden") == 1


@pytest.mark.parametrize("quantity", [0, -1, 10_000, 2**53 - 1])
def test_counts_out_of_range_are_refused(bench: HttpBench, quantity: int) -> None:
    job = bench.open_job(*STEPS)

    refused = bench.refused(job, "remove", position="P1", bag=bench.tags[0], quantity=quantity)

    assert (refused["status"], refused["field"]) == (422, "quantity")
    assert "1 to 9999" in refused["detail"]


def test_steps_out_of_order_are_refused_and_can_be_recorded(bench: HttpBench) -> None:
    job = bench.open_job(*STEPS)

    refused = bench.refused(job, "remove", position="P2", bag=bench.tags[0])

    assert refused["status"] == 409
    assert refused["may_be_recorded"]
    assert "already_done" in refused


def test_acts_on_a_released_job_are_refused(bench: HttpBench) -> None:
    job = bench.open_job()
    head = bench.look(f"/jobs/{job}")["head"]
    bench.act(job, "release", "quality", head=head, **STATEMENT)

    refused = bench.refused(job, "remark", words="a scratch")

    assert (refused["status"], refused["reason"]) == (409, "released")
    assert not refused["may_be_recorded"]


def test_a_release_on_an_old_head_is_stale_and_names_the_new_one(bench: HttpBench) -> None:
    job = bench.open_job()
    old = bench.look(f"/jobs/{job}")["head"]
    new = bench.act(job, "remark", words="a scratch")["head"]

    refused = bench.refused(job, "release", "quality", head=old)

    assert (refused["status"], refused["code"], refused["head"]) == (412, "stale", new)


@pytest.mark.parametrize(
    ("kind", "members", "status"),
    [
        ("remove", {"position": "P9", "bag": "2222-27N7"}, 404),
        ("issue", {"part": "none", "quantity": 1, "bag": "2222-27N7"}, 404),
        ("done", {"step": "S9"}, 404),
        ("hold", {"hold": "h9"}, 404),
        ("reverse", {"act": "0b9b4a5e-6a52-4c0e-9a53-6f0f6f1f6a01", "reason": "x"}, 404),
        ("adjust", {"count": "0b9b4a5e-6a52-4c0e-9a53-6f0f6f1f6a01", "reason": "x"}, 404),
        ("remark", {"words": "x", "by": "nobody"}, 404),
        ("remark", {"words": "x", "done_at": "2030-02-30T08:00:00Z"}, 422),
        ("remark", {"words": "x", "photos": ["no-hash"]}, 422),
        ("seen-empty", {"bags": ["2222-27N7"] * 101}, 422),
        ("receive", {"part": "A", "quantity": 1}, 422),
    ],
)
def test_unknown_ids_and_wrong_members_are_refused(
    bench: HttpBench, kind: str, members: dict[str, object], status: int
) -> None:
    job = bench.open_job(*STEPS)

    refused = bench.refused(job, kind, "lead", **members)

    assert refused["status"] == status, refused


def test_an_act_on_an_unknown_job_is_not_found(bench: HttpBench) -> None:
    refused = bench.refused("j-none", "remark", words="x")

    assert (refused["status"], refused["job"]) == (404, "j-none")


def test_the_store_takes_only_its_own_acts(bench: HttpBench) -> None:
    received = bench.post("/workshop/acts", bench.payload("receive", part="A", quantity=4), "desk")
    remark = bench.post("/workshop/acts", bench.payload("remark", words="x"), "desk")

    assert received.status_code == 201
    assert bench.look("/stock")["stock"] == [
        {"part": "A", "called": "stretch bolt (A)", "quantity": 4}
    ]
    assert problem(remark)["status"] == 422


def test_a_batch_is_answered_act_by_act(bench: HttpBench) -> None:
    job = bench.open_job(*STEPS)
    first = bench.payload("remove", position="P1", bag=bench.tags[0])
    refused = bench.payload("remove", position="P9", bag=bench.tags[1])
    building_on_it = bench.payload("seen-empty", bags=[bench.tags[1]])
    last = bench.payload("remove", position="P2", bag=bench.tags[2])
    batch = {"acts": [first, refused, building_on_it, last]}

    answers = bench.post(f"/jobs/{job}/acts", batch)
    again = bench.post(f"/jobs/{job}/acts", batch)

    assert answers.status_code == 200
    found = answers.json["acts"]
    assert [one["status"] for one in found] == [201, 404, 424, 201]
    assert found[1]["problem"]["code"] == "not-found"
    assert found[2]["held_by"] == refused["key"]
    assert [one["status"] for one in again.json["acts"]] == [200, 404, 424, 200]
    assert again.json["acts"][0]["answer"] == found[0]["answer"]


def test_a_batch_has_at_most_200_acts_each_an_object(bench: HttpBench) -> None:
    job = bench.open_job(*STEPS)
    act = bench.payload("remark", words="x")

    for acts in ([act] * 201, [act, 7], {"key": 1}, "acts"):
        found = bench.post(f"/jobs/{job}/acts", {"acts": acts})
        assert (found.status_code, problem(found)["field"]) == (422, "acts")
    both = bench.post(f"/jobs/{job}/acts", {"acts": [act], "by": "tech"})
    assert problem(both)["field"] == "by"
    assert bench.ledger.kinds_of(job) == ["open"]


def test_a_release_address_takes_no_kind(bench: HttpBench) -> None:
    job = bench.open_job()
    body = {"key": bench.ledger.new_key(), "kind": "remark", "words": "x"}

    found = bench.post(f"/jobs/{job}/release", body, "quality")

    assert (found.status_code, problem(found)["field"]) == (422, "kind")
