"""What cannot be read, or read in two ways, is refused in clear words; nothing is recorded."""

from __future__ import annotations

import pytest
from http_bench import HttpBench, Json, problem
from ledger_bench import position, step
from werkzeug.test import TestResponse

STEPS = (step("S1", 1, position("P1", {"part": "A"}, sets=4)),)
KEY = "0b9b4a5e-6a52-4c0e-9a53-6f0f6f1f6a01"


def send_raw(
    bench: HttpBench, path: str, raw: bytes, media_type: str = "application/json"
) -> TestResponse:
    return bench.send("POST", path, data=raw, headers={"Content-Type": media_type})


@pytest.mark.parametrize(
    ("raw", "status", "says"),
    [
        (b"", 400, "not JSON"),
        (b"{", 400, "line 1"),
        (b'{"title": "\xff"}', 400, "UTF-8"),
        (b"\xfe\xff{\x00}", 400, "UTF-8"),
        (b"[" * 100_000, 400, "deep"),
        (b'{"title": "a", "title": "b"}', 422, "twice"),
        (b'{"title": null}', 422, "null"),
        (b'{"title": NaN}', 422, "NaN"),
        (b'{"title": "a", "revision": 1.5}', 422, "whole numbers"),
        (b'{"title": "a", "revision": 9223372036854775808}', 422, "too large"),
        (b'{"title": "a", "revision": 1e400}', 422, "too large"),
        (b'{"title": "a", "revision": ' + b"9" * 5000 + b"}", 422, "too large"),
        (b'{"title": "\\ud800"}', 422, "surrogate"),
        (b'{"title": "a\\u0000b"}', 422, "U+0000"),
        (b'{"t\xc3\xaftle": "a"}', 422, "ASCII"),
        (b'"title"', 422, "object"),
        (b"[]", 422, "object"),
        (b'{"title": 7}', 422, "must be text"),
        (b'{"title": ["a"]}', 422, "must be text"),
        (b'{"title": ""}', 422, "1 to 200"),
        (b'{"title": "' + b"a" * 201 + b'"}', 422, "1 to 200"),
        (b'{"title": "a", "revision": true}', 422, "whole number"),
        (b'{"title": "a", "revision": "1"}', 422, "whole number"),
        (b'{"title": "a", "revision": 0}', 422, "from 1"),
        (b'{"title": "a", "titel": "b"}', 422, "not known"),
        (b'{"title": "a", "needed_by": "31.1.2030"}', 422, "a day"),
        (b"{}", 422, "title: is missing"),
    ],
)
def test_a_body_that_cannot_be_taken_is_refused(
    bench: HttpBench, raw: bytes, status: int, says: str
) -> None:
    for path in ("/jobs", "/jobs?"):
        found = send_raw(bench, path, raw)
        assert found.status_code == status, found.text
        assert says in problem(found)["detail"]
    assert bench.look("/jobs")["jobs"] == []


def test_acts_are_read_as_strictly(bench: HttpBench) -> None:
    job = bench.open_job(*STEPS)
    remark = f'"key": "{KEY}", "kind": "remark"'

    def refused(raw: str) -> tuple[int, str]:
        found = send_raw(bench, f"/jobs/{job}/acts", raw.encode("utf-8", "surrogatepass"))
        return found.status_code, problem(found)["code"]

    assert refused("{") == (400, "malformed")
    assert refused(f'{{{remark}, "words": "a", "words": "b"}}') == (422, "invalid")
    assert refused(f'{{{remark}, "words": "\\ud83d"}}') == (422, "invalid")
    assert refused(f'{{{remark}, "words": "\ud83d"}}') == (400, "malformed")
    assert refused(f'{{{remark}, "words": 7}}') == (422, "invalid")
    assert refused(f'{{{remark}, "words": "a", "device_seq": 18446744073709551616}}') == (
        422, "invalid",
    )  # fmt: skip
    assert refused(f'{{{remark}, "words": "a", "colour": "red"}}') == (422, "invalid")
    assert refused('{"kind": "remark", "words": "no key"}') == (422, "invalid")
    assert refused(f'{{"key": "{KEY}", "kind": "polish"}}') == (422, "invalid")
    assert refused(f'{{"key": "{KEY.upper()}", "kind": "remark", "words": "a"}}') == (
        422, "invalid",
    )  # fmt: skip
    assert bench.ledger.kinds_of(job) == ["open"]


@pytest.mark.parametrize("media_type", ["text/plain", "application/xml", "application/csv", ""])
def test_only_json_is_taken_where_json_is_asked_for(bench: HttpBench, media_type: str) -> None:
    found = send_raw(bench, "/jobs", b'{"title": "a"}', media_type)

    assert found.status_code == 415
    assert problem(found)["code"] == "wrong-media-type"


def test_a_charset_beside_the_media_type_is_no_harm(bench: HttpBench) -> None:
    found = send_raw(bench, "/jobs", b'{"title": "a"}', "application/json; charset=utf-8")

    assert found.status_code == 201


@pytest.mark.parametrize(
    ("path", "media_type", "size"),
    [
        ("/jobs", "application/json", 1_048_577),
        ("/procedures", "application/json", 4 * 1_048_576 + 1),
        ("/photos", "image/jpeg", 12 * 1_048_576 + 1),
    ],
)
def test_a_body_beyond_its_limit_is_refused(
    bench: HttpBench, path: str, media_type: str, size: int
) -> None:
    headers = {"Content-Type": media_type}

    found = bench.send("POST", path, "lead", data=b" " * size, headers=headers)

    assert (found.status_code, problem(found)["code"]) == (413, "too-large")


def test_acts_beyond_the_limit_are_refused_whole(bench: HttpBench) -> None:
    job = bench.open_job(*STEPS)

    found = send_raw(bench, f"/jobs/{job}/acts", b'{"acts": [' + b" " * 1_048_576 + b"]}")

    assert problem(found)["code"] == "too-large"


@pytest.mark.parametrize(
    "path",
    [
        "/jobs?stat=open",
        "/jobs?state=shut",
        "/jobs?limit=0",
        "/jobs?limit=201",
        "/jobs?limit=ten",
        "/jobs?limit=9223372036854775808",
        "/jobs?cursor=99999999999999999999",
        "/jobs?limit=1&limit=2",
        "/parts?after=",
        "/parts?page=2",
        "/health?verbose=1",
        "/tags.pdf",
        "/tags.pdf?codes=2222-27N7&job=j",
        "/tags.pdf?job=j&start_at=0",
    ],
)
def test_parameters_that_are_unknown_or_out_of_range_are_refused(
    bench: HttpBench, path: str
) -> None:
    found = bench.get(path)

    assert (found.status_code, problem(found)["code"]) == (422, "invalid")


@pytest.mark.parametrize("number", ["0", "9223372036854775808", "-1", "1.5", "9" * 400])
def test_a_number_in_an_address_that_cannot_be_is_nowhere(bench: HttpBench, number: str) -> None:
    found = bench.get(f"/procedures/front/revisions/{number}")

    assert (found.status_code, problem(found)["code"]) == (404, "not-found")


@pytest.mark.parametrize("ident", ["%00", "%FF%FE", "%F0%9F%94%A9", "a%20b", "x" * 2000])
def test_an_id_that_cannot_be_is_nowhere(bench: HttpBench, ident: str) -> None:
    for path in (f"/jobs/{ident}", f"/parts/{ident}", f"/vehicles/{ident}", f"/photos/{ident}.jpg"):
        assert problem(bench.get(path))["status"] == 404


def test_every_fault_of_a_body_is_named_by_its_place(bench: HttpBench) -> None:
    body: Json = {
        "key": "k",
        "title": "",
        "steps": [{"id": "S 1", "number": -1, "title": "x", "positions": [{"id": "P1"}]}],
    }

    found = problem(bench.post("/procedures", body, "lead"))

    places = {fault["where"] for fault in found["faults"]}
    assert {"title", "steps[1].id", "steps[1].number", "steps[1].positions[1].where"} <= places
