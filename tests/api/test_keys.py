"""Sending again is harmless: keys of acts, and the Idempotency-Key of other requests."""

from __future__ import annotations

import pytest
from http_bench import HttpBench, problem

KEY = {"Idempotency-Key": '"8e03978e-40d5-43dd-bc93-6894a57f9324"'}


def test_an_act_sent_again_gets_the_same_answer_with_200(bench: HttpBench) -> None:
    job = bench.open_job()
    act = bench.payload("remark", words="a scratch")

    first = bench.post(f"/jobs/{job}/acts", act)
    again = bench.post(f"/jobs/{job}/acts", act)

    assert (first.status_code, again.status_code) == (201, 200)
    assert again.json == first.json
    assert "Idempotent-Replay" not in first.headers
    assert again.headers["Idempotent-Replay"] == "true"
    assert bench.ledger.kinds_of(job) == ["open", "remark"]


def test_a_key_of_an_act_with_other_content_is_refused(bench: HttpBench) -> None:
    job, other = bench.open_job(), bench.open_job()
    act = bench.payload("remark", words="a scratch")
    bench.made(f"/jobs/{job}/acts", act)

    changed = bench.post(f"/jobs/{job}/acts", {**act, "words": "two scratches"})
    elsewhere = bench.post(f"/jobs/{other}/acts", act)

    for found in (changed, elsewhere):
        assert (found.status_code, problem(found)["code"]) == (422, "key-reused")


def test_a_refusal_does_not_use_the_key_up(bench: HttpBench) -> None:
    job = bench.open_job()
    act = bench.payload("remark", words="a scratch", step="none")
    assert bench.post(f"/jobs/{job}/acts", act).status_code == 404

    del act["step"]

    assert bench.post(f"/jobs/{job}/acts", act).status_code == 201


def test_an_act_under_way_is_not_recorded_twice(bench: HttpBench) -> None:
    job = bench.open_job()
    act = bench.payload("remark", words="a scratch")
    bench.ledger.service.in_flight.add(act["key"])

    found = bench.post(f"/jobs/{job}/acts", act)

    assert (found.status_code, problem(found)["code"]) == (409, "in-progress")


def test_a_request_with_a_key_is_carried_out_once(bench: HttpBench) -> None:
    first = bench.post("/jobs", {"title": "a"}, headers=KEY)
    again = bench.post("/jobs", {"title": "a"}, headers=KEY)

    assert (first.status_code, again.status_code) == (201, 201)
    assert again.json == first.json
    assert again.headers["Location"] == first.headers["Location"]
    assert "Idempotent-Replay" not in first.headers
    assert again.headers["Idempotent-Replay"] == "true"
    assert len(bench.look("/jobs")["jobs"]) == 1


def test_a_request_key_with_other_content_is_refused(bench: HttpBench) -> None:
    bench.post("/jobs", {"title": "a"}, headers=KEY)

    title = bench.post("/jobs", {"title": "b"}, headers=KEY)
    address = bench.post("/vehicles", {}, headers=KEY)

    for found in (title, address):
        assert (found.status_code, problem(found)["code"]) == (422, "key-reused")


def test_a_request_key_belongs_to_who_sent_it(bench: HttpBench) -> None:
    bench.post("/jobs", {"title": "a"}, headers=KEY)

    found = bench.post("/jobs", {"title": "b"}, "mate", headers=KEY)

    assert found.status_code == 201


def test_a_request_under_way_is_not_carried_out_twice(bench: HttpBench) -> None:
    key = KEY["Idempotency-Key"].strip('"')
    bench.ledger.service.in_flight.add(f"request:tech:{key}")

    found = bench.post("/jobs", {"title": "a"}, headers=KEY)

    assert (found.status_code, problem(found)["code"]) == (409, "in-progress")


def test_a_refused_request_leaves_its_key_free(bench: HttpBench) -> None:
    refused = bench.post("/jobs", {"title": "a", "procedure": "none"}, headers=KEY)
    taken = bench.post("/jobs", {"title": "a"}, headers=KEY)

    assert (refused.status_code, taken.status_code) == (404, 201)


@pytest.mark.parametrize("sent", ["plain", '"', '""', '"a" , "b"', '"a"b"', f'"{"x" * 201}"'])
def test_a_key_that_is_no_quoted_text_is_refused(bench: HttpBench, sent: str) -> None:
    found = bench.post("/jobs", {"title": "a"}, headers={"Idempotency-Key": sent})

    assert (found.status_code, problem(found)["field"]) == (400, "Idempotency-Key")


def test_no_password_can_be_told_from_a_kept_answer(bench: HttpBench) -> None:
    person = {"login": "new", "name": "New", "roles": ["parts"], "password": "long enough"}

    first = bench.post("/people", person, "lead", headers=KEY)
    again = bench.post("/people", {**person, "password": "other word"}, "lead", headers=KEY)

    assert (first.status_code, again.status_code) == (201, 201)
    assert again.json == first.json
