"""Requests as devices send them: keys, spelling, times, batches."""

from __future__ import annotations

import json

import pytest
from ledger_bench import STATEMENT, WORKSHOP, Bench, position, step

from partsvc.domain.records import Plain
from partsvc.errors import Invalid, KeyReused
from partsvc.work.batches import Item, post_batch

DECOMPOSED = "e\u0301tage\u0300re"
COMPOSED = "\u00e9tag\u00e8re"


@pytest.fixture
def job(bench: Bench) -> str:
    return bench.open_job(step("S1", 10, position("P1", {"part": "C"}, sets=4)))


@pytest.fixture
def k(bench: Bench) -> str:
    return bench.tags[0]


def release(bench: Bench, job: str) -> dict[str, Plain]:
    return bench.act(job, "release", "quality", head=bench.look(job).head, **STATEMENT)


def keys(bench: Bench, account: str) -> list[str]:
    with bench.service.database.reading() as db:
        rows = db.execute("SELECT key FROM act WHERE account = ? ORDER BY seq", (account,))
        return [row["key"] for row in rows]


def test_a_job_without_procedure_is_readable_after_its_release(bench: Bench) -> None:
    job = bench.open_job()

    release(bench, job)

    assert bench.look(job).state.released is not None
    bench.act(job, "reopen", "quality", reason="one more look")
    assert bench.look(job).state.released is None


def test_the_key_of_an_act_the_service_made_itself_is_taken(bench: Bench) -> None:
    job = bench.open_job()
    (opening,) = keys(bench, job)
    release(bench, job)
    bench.act(job, "reopen", "quality", reason="one more look")

    for key in (opening, *keys(bench, WORKSHOP)):
        with pytest.raises(KeyReused):
            bench.post("tech", job, {"key": key, "kind": "remark", "words": "scratched"})


@pytest.mark.parametrize(
    ("kind", "members"),
    [
        ("put-on", {"step": "S1", "words": DECOMPOSED}),
        ("put-on", {"step": "S1", "words": "\u01f0"}),
        ("stray", {"words": DECOMPOSED}),
        ("correct", {"reason": "found", "add": {
            "where": DECOMPOSED, "quantity": 1, "step_title": DECOMPOSED, "words": DECOMPOSED}}),
        ("remark", {"words": DECOMPOSED, "note": DECOMPOSED}),
    ],
)  # fmt: skip
def test_what_the_act_says_is_what_its_entries_and_effects_say(
    bench: Bench, job: str, k: str, kind: str, members: dict[str, Plain]
) -> None:
    body = bench.act(job, kind, **members, **({"bag": k} if kind == "stray" else {}))

    with bench.service.database.reading() as db:
        seq = (job, body["seq"])
        text = db.execute("SELECT text FROM act WHERE account = ? AND seq = ?", seq).fetchone()[0]
        parts = [
            row["part"]
            for row in db.execute("SELECT part FROM entry WHERE account = ? AND seq = ?", seq)
        ]
        effects = [
            json.loads(row["text"])
            for row in db.execute("SELECT text FROM effect WHERE account = ? AND seq = ?", seq)
        ]
    said = json.loads(text)
    assert parts == [entry["part"] for entry in said["entries"]]
    assert effects == [
        {name: value for name, value in effect.items() if name != "effect"}
        for effect in said["effects"]
    ]


def test_both_spellings_of_a_word_are_the_same_request(bench: Bench, job: str) -> None:
    key = bench.new_key()
    first = bench.post("tech", job, {"key": key, "kind": "remark", "words": DECOMPOSED})

    again = bench.post("tech", job, {"key": key, "kind": "remark", "words": COMPOSED})

    assert (again.again, again.body) == (True, first.body)


def test_an_item_taken_off_is_found_in_either_spelling(bench: Bench, job: str) -> None:
    bench.act(job, "put-on", step="S1", words=DECOMPOSED)

    bench.act(job, "take-off", step="S1", words=COMPOSED)

    assert bench.findings(job) == []


def test_an_item_without_a_name_is_sent_back(bench: Bench, job: str) -> None:
    with pytest.raises(Invalid):
        bench.act(job, "put-on", step="S1", words="  ")


def test_a_time_in_small_letters_is_a_time(bench: Bench, job: str, k: str) -> None:
    bench.act(job, "remark", words="scratched", done_at="2030-01-31t08:15:00.5z")

    assert bench.look(job).state.remarks[0].at == "2030-01-31T08:15:00.500Z"


def outcome(item: Item) -> str:
    return "held" if item.held_by else "recorded" if item.answer else "refused"


def test_an_act_that_names_a_refused_one_is_held(bench: Bench, job: str, k: str) -> None:
    refused, added = bench.new_key(), bench.new_key()
    new = {"where": "beside it", "quantity": 1, "step": "nowhere", "words": "screw"}
    items = post_batch(
        bench.service,
        job,
        bench.sender("tech"),
        [
            {"key": refused, "kind": "count", "bag": "2222-2222", "counted": []},
            {"key": bench.new_key(), "kind": "adjust", "count": refused, "reason": "short"},
            {"key": added, "kind": "remove", "bag": k, "add": new},
            {"key": bench.new_key(), "kind": "remark", "position": f"x{added[:13]}", "words": "!"},
            {"key": bench.new_key(), "kind": "loosen", "position": "P1"},
        ],
    )

    assert [outcome(item) for item in items] == ["refused", "held", "refused", "held", "recorded"]
