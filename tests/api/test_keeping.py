"""What is kept beside the ledger: parts, procedures, vehicles, people, tags, photos."""

from __future__ import annotations

import hashlib
from io import BytesIO

import pytest
from http_bench import HttpBench, Json, problem
from ledger_bench import position, step
from PIL import Image

from labels.reading import read_codes
from partsvc.domain import tagcode
from partsvc.domain.canonical import canonical_text

PLAN: Json = {
    "key": "front",
    "title": "Front cover",
    "steps": [step("S1", 1, position("P1", {"part": "A", "rule": "replace"}, sets=4))],
}


def change(bench: HttpBench, method: str, path: str, body: Json, who: str = "lead") -> Json:
    """A change with the ETag of what is there now."""
    etag = bench.get(path, who).headers["ETag"]
    found = bench.send(method, path, who, json=body, headers={"If-Match": etag})
    assert found.status_code == 200, found.text
    return dict(found.json or {})


def test_a_job_is_opened_listed_and_renamed(bench: HttpBench) -> None:
    made = bench.post("/jobs", {"title": "Pack out", "needed_by": "2030-02-01"})
    job = made.json["id"]

    assert made.headers["Location"] == f"/api/v1/jobs/{job}"
    renamed = change(bench, "PATCH", f"/jobs/{job}", {"title": "Pack out and in"}, "desk")
    assert (renamed["title"], renamed["needed_by"]) == ("Pack out and in", "2030-02-01")
    assert bench.look("/jobs?state=open")["jobs"] == [renamed]
    assert bench.look("/jobs?state=released")["jobs"] == []


def test_jobs_come_in_pages_newest_first(bench: HttpBench) -> None:
    for n in range(5):
        bench.made("/jobs", {"title": f"job {n}"})

    numbers, path = [], "/jobs?limit=2"
    while path:
        found = bench.get(path)
        numbers += [one["number"] for one in found.json["jobs"]]
        link = found.headers.get("Link", "")
        path = link[1 : link.index(">")].removeprefix("/api/v1") if link else ""

    assert numbers == [5, 4, 3, 2, 1]


@pytest.mark.parametrize(
    ("method", "path", "body"),
    [
        ("PATCH", "/jobs/{job}", {"title": "x"}),
        ("PUT", "/parts/A", {"number": "A", "name": "x"}),
        ("PUT", "/vehicles/{vehicle}", {"model": "x"}),
        ("PATCH", "/people/mate", {"name": "x"}),
    ],
)
def test_changes_need_the_version_that_was_seen(
    bench: HttpBench, method: str, path: str, body: Json
) -> None:
    gaps = {
        "job": bench.made("/jobs", {"title": "a"})["id"],
        "vehicle": bench.made("/vehicles", {})["id"],
    }
    path = path.format(**gaps)

    blind = bench.send(method, path, "lead", json=body)
    seen = bench.get(path, "lead").headers["ETag"]
    taken = bench.send(method, path, "lead", json=body, headers={"If-Match": seen})
    late = bench.send(method, path, "lead", json=body, headers={"If-Match": seen})
    weak = bench.send(method, path, "lead", json=body, headers={"If-Match": f"W/{seen}"})

    assert (blind.status_code, problem(blind)["code"]) == (428, "if-match-missing")
    assert taken.status_code == 200
    assert bench.get(path, "lead").headers["ETag"] == taken.headers["ETag"]
    for found in (late, weak):
        assert (found.status_code, problem(found)["code"]) == (412, "stale")


def test_what_has_not_changed_is_not_sent_again(bench: HttpBench) -> None:
    etag = bench.get("/parts/A").headers["ETag"]

    found = bench.get("/parts/A", headers={"If-None-Match": etag})

    assert (found.status_code, found.data) == (304, b"")


def test_a_part_is_added_changed_and_looked_up(bench: HttpBench) -> None:
    part = {"number": "X/1", "name": "flange bolt", "kind": "bolt", "thread": "M8", "length_mm": 40}
    made = bench.post("/parts", part, "desk")
    assert (made.status_code, made.headers["Location"]) == (201, "/api/v1/parts/X%2F1")
    assert bench.post("/parts", part, "desk").status_code == 409

    bench.made("/parts", {**part, "number": "X1"}, "desk")
    changed = change(bench, "PUT", "/parts/X1", {**part, "number": "X1", "length_mm": 45}, "desk")

    assert changed["part"]["length_mm"] == 45
    numbers = [one["number"] for one in bench.look("/parts?after=W")["parts"]]
    assert numbers == ["X/1", "X1"]
    assert bench.look("/parts/X%2F1")["part"] == part


def test_a_part_keeps_its_number_and_is_no_name_of_the_book(bench: HttpBench) -> None:
    etag = {"If-Match": bench.get("/parts/A").headers["ETag"]}

    renamed = bench.put("/parts/A", {"number": "A2", "name": "x"}, headers=etag)
    stray = bench.post("/parts", {"number": "stray:1", "name": "x"}, "desk")

    assert problem(renamed)["field"] == "number"
    assert problem(stray)["code"] == "bad-file"


def test_a_procedure_is_numbered_hashed_and_never_changed(bench: HttpBench) -> None:
    first = bench.post("/procedures", PLAN, "lead")
    same = bench.post("/procedures", PLAN, "lead")
    second = bench.post("/procedures", {**PLAN, "title": "Front cover, all"}, "lead")

    assert [one.status_code for one in (first, same, second)] == [201, 200, 201]
    assert [one.json["number"] for one in (first, same, second)] == [1, 1, 2]
    assert first.headers["Location"] == "/api/v1/procedures/front/revisions/1"
    assert bench.look("/procedures/front")["number"] == 2
    old = bench.look("/procedures/front/revisions/1")
    assert old["title"] == "Front cover"
    digest = hashlib.sha256(canonical_text(old["plan"]).encode()).hexdigest()
    assert digest == old["hash"]
    assert [one["number"] for one in bench.look("/procedures")["procedures"]] == [2]


def test_a_procedure_that_is_read_can_be_sent_back(bench: HttpBench) -> None:
    bench.made("/procedures", PLAN, "lead")
    read = bench.look("/procedures/front")["plan"]

    found = bench.post("/procedures", read, "lead")

    assert (found.status_code, found.json["number"]) == (200, 1)


def test_a_procedure_with_faults_names_each_by_step_and_position(bench: HttpBench) -> None:
    bad = step("S2", 2, position("P1", {"part": "none"}, sets=1), after=["S9"])

    found = bench.post("/procedures", {**PLAN, "steps": [*PLAN["steps"], bad]}, "lead")

    assert (found.status_code, problem(found)["code"]) == (422, "bad-file")
    assert len(problem(found)["faults"]) == 3
    assert bench.get("/procedures/front").status_code == 404


def test_an_odd_vehicle_number_is_warned_about_and_kept(bench: HttpBench) -> None:
    vehicle = bench.made("/vehicles", {"vin": "OIQ", "plate": "AB 123", "owner": "the owner"})

    assert vehicle["vin"] == "OIQ"
    assert len(vehicle["warnings"]) == 2
    changed = change(bench, "PUT", f"/vehicles/{vehicle['id']}", {"vin": "XX0DEM0A7AB000001"})
    assert (changed["vin"], changed["plate"]) == ("XX0DEM0A7AB000001", "")
    job = bench.made("/jobs", {"title": "a", "vehicle": vehicle["id"]})
    assert job["vin"] == "XX0DEM0A7AB000001"
    assert bench.post("/jobs", {"title": "a", "vehicle": "none"}).status_code == 404


def test_the_lead_keeps_the_people(bench: HttpBench) -> None:
    person = {"login": "new", "name": "New One", "roles": ["parts", "technician"]}
    made = bench.made("/people", person, "lead")

    assert made["roles"] == ["technician", "parts"]
    assert bench.post("/people", person, "lead").status_code == 409
    assert bench.post("/people", {**person, "roles": []}, "lead").status_code == 422
    changed = change(bench, "PATCH", f"/people/{made['id']}", {"name": "New Name"})
    assert changed["name"] == "New Name"
    assert [one["login"] for one in bench.look("/people?limit=2", "lead")["people"]] == [
        "desk", "lead",
    ]  # fmt: skip
    etag = bench.get("/people/lead", "lead").headers["ETag"]
    last = bench.send(
        "PATCH", "/people/lead", "lead", json={"active": False}, headers={"If-Match": etag}
    )
    assert (last.status_code, problem(last)["code"]) == (409, "conflict")


def test_a_program_works_by_a_token_of_its_own(bench: HttpBench) -> None:
    token = bench.made("/people/desk/tokens", {"name": "stock system", "days": 30}, "lead")

    bearer = {"Authorization": f"Bearer {token['token']}"}
    session = bench.look("/session", "", headers=bearer)

    assert (session["person"], session["device"]) == ("desk", "stock system")
    assert bench.post("/people/none/tokens", {"name": "x"}, "lead").status_code == 404


def test_what_is_on_order_is_noted_for_the_job(bench: HttpBench) -> None:
    job = bench.open_job(*PLAN["steps"])
    before = bench.look(f"/jobs/{job}/order")["lines"][0]

    noted = bench.put(f"/jobs/{job}/on-order/A", {"quantity": 3, "reference": "4711"}, "desk")
    after = bench.look(f"/jobs/{job}/order")["lines"][0]

    assert noted.json == {"part": "A", "quantity": 3, "reference": "4711", "promised": ""}
    assert (before["on_order"], after["on_order"]) == (0, 3)
    assert before["to_order"] - after["to_order"] == 3
    assert bench.put(f"/jobs/{job}/on-order/none", {"quantity": 3}, "desk").status_code == 404


def test_blank_tags_are_sound_and_all_different(bench: HttpBench) -> None:
    tags = bench.made("/tags", {"count": 1000})["tags"]

    assert len({one["code"] for one in tags}) == 1000
    assert all(tagcode.read(one["shown"]) == one["code"] for one in tags)
    look = bench.look(f"/tags/{tags[0]['shown'].lower()}")
    assert (look["code"], look["contents"]) == (tags[0]["code"], [])


@pytest.mark.parametrize(
    ("body", "status"),
    [
        ({}, 422),
        ({"count": 0}, 422),
        ({"count": 1001}, 422),
        ({"count": 1, "job": "j"}, 422),
        ({"count": 1, "positions": ["P1"]}, 422),
        ({"job": "none"}, 404),
    ],
)
def test_tags_are_asked_for_by_count_or_by_job(bench: HttpBench, body: Json, status: int) -> None:
    assert bench.post("/tags", body).status_code == status


def test_tags_for_a_job_say_what_goes_into_the_bag(bench: HttpBench) -> None:
    job = bench.open_job(*PLAN["steps"])

    (tag,) = bench.made("/tags", {"job": job})["tags"]

    assert (tag["job"], tag["position"]) == (job, "P1")
    assert tag["words"] == "Step 1, at P1: 4 stretch bolt (A)"
    assert bench.look(f"/jobs/{job}/tags")["tags"] == [tag]
    unknown = bench.post("/tags", {"job": job, "positions": ["P9"]})
    assert problem(unknown)["position"] == "P9"
    bench.remove(job, "P1", tag["code"])
    assert bench.look(f"/tags/{tag['code']}")["contents"][0]["quantity"] == 4


def test_a_tag_is_drawn_and_printed_so_that_it_can_be_scanned(bench: HttpBench) -> None:
    job = bench.open_job(*PLAN["steps"])
    (tag,) = bench.made("/tags", {"job": job})["tags"]

    picture = bench.get(f"/tags/{tag['shown']}.png")
    sheet = bench.get(f"/tags.pdf?codes={tag['code']},{bench.tags[0]}&start_at=3")
    of_job = bench.get(f"/tags.pdf?job={job}&stock=letter-2x5")

    assert [one.text for one in read_codes(picture.data)] == [tag["code"]]
    for found in (sheet, of_job):
        assert (found.status_code, found.content_type) == (200, "application/pdf")
        assert found.data.startswith(b"%PDF")


@pytest.mark.parametrize(
    ("query", "status", "field"),
    [
        ("codes={tag}&stock=none", 422, "stock"),
        ("codes={tag}&start_at=22", 422, "start_at"),
        ("codes=,,,,,,,,", 422, "start_at"),
        ("job=none", 404, "job"),
        ("codes=7K3M-9HWZ", 404, "code"),
        ("codes=7K3M-9HX3", 422, "field"),
    ],
)
def test_a_sheet_that_cannot_be_printed_says_why(
    bench: HttpBench, query: str, status: int, field: str
) -> None:
    found = bench.get(f"/tags.pdf?{query.format(tag=bench.tags[0])}")

    assert found.status_code == status, found.text
    assert field in (problem(found).get("field"), *problem(found))


def test_a_tag_is_voided_once_and_only_when_its_bag_is_empty(bench: HttpBench) -> None:
    job = bench.open_job(*PLAN["steps"])
    bench.remove(job, "P1", bench.tags[0])

    full = bench.post(f"/tags/{bench.tags[0]}/void", {"reason": "torn"})
    empty = bench.post(f"/tags/{bench.tags[1]}/void", {"reason": "torn"})
    again = bench.post(f"/tags/{bench.tags[1]}/void", {"reason": "torn"})

    assert [one.status_code for one in (full, empty, again)] == [409, 200, 409]
    assert bench.look(f"/tags/{bench.tags[1]}")["void"]


def test_an_unknown_or_mistyped_tag_is_told_apart(bench: HttpBench) -> None:
    mistyped = bench.get(f"/tags/{bench.tags[0][:-1]}3")
    unknown = bench.get(f"/tags/{tagcode.from_number(424_242)}")

    assert (mistyped.status_code, problem(mistyped)["code"]) == (422, "mistyped-code")
    assert (unknown.status_code, problem(unknown)["code"]) == (404, "not-found")


def test_a_photo_is_kept_once_and_can_stand_with_an_act(bench: HttpBench) -> None:
    picture = BytesIO()
    Image.new("RGB", (60, 40), "gray").save(picture, "PNG")
    headers = {"Content-Type": "image/png"}

    sent = [
        bench.send("POST", "/photos", data=picture.getvalue(), headers=headers) for _ in range(2)
    ]

    assert [one.status_code for one in sent] == [201, 201]
    assert sent[0].json == sent[1].json
    digest = sent[0].json["hash"]
    kept = bench.get(sent[0].headers["Location"].removeprefix("/api/v1"))
    assert hashlib.sha256(kept.data).hexdigest() == digest
    job = bench.open_job()
    bench.act(job, "remark", words="bracket cracked", photos=[digest])


def test_what_is_no_photo_is_refused(bench: HttpBench) -> None:
    text = bench.send("POST", "/photos", data=b"hello", headers={"Content-Type": "text/plain"})
    broken = bench.send("POST", "/photos", data=b"hello", headers={"Content-Type": "image/png"})

    assert problem(text)["status"] == 415
    assert problem(broken)["status"] == 422
    assert bench.get("/photos/none.jpg").status_code == 404
    assert bench.get(f"/photos/{'0' * 64}.jpg").status_code == 404


def test_the_page_of_the_document_needs_no_internet(bench: HttpBench) -> None:
    page = bench.client.get("/api/v1/docs/")

    assert page.status_code == 200
    assert "https://" not in page.text
    assert '"validatorUrl": null' in page.text
    for name in ("swagger-ui.css", "swagger-ui-bundle.js", "index.css"):
        assert bench.client.get(f"/api/v1/docs/{name}").status_code == 200
