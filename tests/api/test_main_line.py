"""The main line of a job through the API: opened, taken apart, put back, released."""

from __future__ import annotations

import json

from http_bench import HttpBench, problem
from ledger_bench import STATEMENT, position, step

from partsvc.domain.canonical import chain_hash
from partsvc.work.signing_in import hashed

STEPS = (
    step(
        "S1",
        1,
        position("P1", {"part": "A", "rule": "replace"}, sets=4),
        position("P2", {"part": "C"}, sets=2),
    ),
)


def test_a_job_goes_from_opening_to_release(bench: HttpBench) -> None:
    job = bench.open_job(*STEPS)
    old_bolts, clips, kit = bench.tags[:3]

    bench.remove(job, "P1", old_bolts)
    bench.remove(job, "P2", clips)
    bench.issue(job, "A", 4, kit)
    bench.act(job, "discard", bag=old_bolts)
    bench.secure(job, "P1", bag=kit)
    bench.secure(job, "P2", bag=clips)
    bench.act(job, "seen-empty", bags=[old_bolts, clips, kit])
    head = bench.look(f"/jobs/{job}")["head"]
    bench.made(
        f"/jobs/{job}/release",
        {"key": bench.ledger.new_key(), "head": head, **STATEMENT},
        "quality",
    )

    assert bench.look(f"/jobs/{job}")["state"] == "released"
    refused = bench.refused(job, "remark", words="a scratch")
    assert (refused["status"], refused["reason"]) == (409, "released")
    bench.made(f"/jobs/{job}/reopen", {"key": bench.ledger.new_key(), "reason": "leak"}, "quality")
    assert bench.look(f"/jobs/{job}")["state"] == "open"


def test_somebody_signs_in_works_and_signs_out(bench: HttpBench) -> None:
    service = bench.ledger.service
    with service.database.writing() as db:
        secret = hashed("a long word")
        db.execute("UPDATE person SET secret = ? WHERE login = 'tech'", (secret,))

    body = {"login": "tech", "password": "a long word", "device": "phone 3"}
    token = bench.made("/session", body, "")["token"]
    bearer = {"Authorization": f"Bearer {token}"}

    session = bench.look("/session", "", headers=bearer)
    assert (session["person"], session["device"], session["roles"]) == (
        "tech", "phone 3", ["technician"],
    )  # fmt: skip
    assert bench.send("DELETE", "/session", "", headers=bearer).status_code == 204
    assert bench.get("/session", "", headers=bearer).status_code == 401


def test_a_wrong_password_and_an_unknown_name_get_the_same_answer(bench: HttpBench) -> None:
    answers = [
        problem(bench.post("/session", {"login": login, "password": "wrong word"}, ""))
        for login in ("tech", "nobody")
    ]

    assert answers[0] == answers[1]
    assert answers[0]["status"] == 401


def test_the_ledger_file_can_be_verified_without_the_service(bench: HttpBench) -> None:
    job = bench.open_job(*STEPS)
    bench.remove(job, "P1", bench.tags[0])
    bench.remove(job, "P2", bench.tags[1])

    text = bench.get(f"/jobs/{job}/ledger.jsonl").text
    first, *acts, last = map(json.loads, text.splitlines())

    assert (first["format"], first["account"]) == ("partsvc-ledger-1", job)
    head = first["start"]
    for act in acts:
        head = chain_hash(head, act["text"])
        assert head == act["hash"]
    assert (last["head"], last["head_seq"]) == (head, 3)
    accept = {"Accept": "application/x-ndjson"}
    assert bench.get(f"/jobs/{job}/ledger", headers=accept).text == text


def test_the_ledger_is_read_in_pages_and_by_bag_step_part_and_person(bench: HttpBench) -> None:
    job = bench.open_job(*STEPS)
    bench.remove(job, "P1", bench.tags[0])
    bench.remove(job, "P2", bench.tags[1])

    pages = []
    path = f"/jobs/{job}/ledger?limit=1"
    while path:
        found = bench.get(path)
        pages += [one["seq"] for one in found.json["acts"]]
        link = found.headers.get("Link", "")
        path = link.partition(">")[0].removeprefix("</api/v1") if link else ""

    def seqs(asked: str) -> list[int]:
        return [one["seq"] for one in bench.look(f"/jobs/{job}/ledger?{asked}")["acts"]]

    assert pages == [1, 2, 3]
    assert seqs(f"bag={bench.tags[1]}") == [3]
    assert seqs("step=S1") == [2, 3]
    assert seqs("part=A") == [1, 2]
    assert seqs("person=tech&kind=remove") == [2, 3]
    assert seqs("person=mate") == []


def test_the_ledger_table_has_a_line_for_each_movement(bench: HttpBench) -> None:
    job = bench.open_job(*STEPS)
    bench.remove(job, "P1", bench.tags[0])

    head, *lines = bench.get(f"/jobs/{job}/ledger.csv").text.splitlines()

    assert head.startswith("seq,done_at,received_at,kind,by")
    assert [line.split(",")[7:10] for line in lines] == [
        ["A", "4", "outside:opening"],
        ["C", "2", "outside:opening"],
        ["A", "4", "secured:P1"],
    ]


def test_refused_acts_are_listed_with_who_and_why(bench: HttpBench) -> None:
    job = bench.open_job(*STEPS)
    bench.remove(job, "P1", bench.tags[0])
    refused = bench.refused(job, "fit", position="P1", bag=bench.tags[0])

    (kept,) = bench.look(f"/jobs/{job}/refused", "quality")["refused"]

    assert refused["already_done"]
    assert (kept["by"], kept["kind"], kept["reason"]) == ("tech", "fit", refused["reason"])
    assert kept["request"]["position"] == "P1"
