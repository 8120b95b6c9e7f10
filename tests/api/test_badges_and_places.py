"""Tags that are on no bag: badges, rack places, temporary items; and the stocks they come from."""

from __future__ import annotations

from io import BytesIO

import pytest
from http_bench import HttpBench, problem
from ledger_bench import position, step
from PIL import Image

from labels.reading import read_codes
from labels.stock import stock_keys


@pytest.fixture
def job(bench: HttpBench) -> str:
    return bench.open_job(step("S1", 10, position("P1", {"part": "C"}, sets=2)))


def minted(bench: HttpBench, use: str, words: str | None = None) -> str:
    body = {"count": 1, "use": use} | ({"words": words} if words else {})
    return str(bench.made("/tags", body)["tags"][0]["code"])


def test_a_badge_says_whose_it_is_by_the_name_as_it_is_now(bench: HttpBench) -> None:
    person = bench.made(
        "/people", {"login": "wren", "name": "Wren Halloway", "roles": ["technician"]}, "lead"
    )["id"]
    code = bench.made(f"/people/{person}/badge", {}, "lead")["code"]

    told = bench.look(f"/tags/{code}")

    assert (told["kind"], told["person"], told["name"]) == ("person", person, "Wren Halloway")
    assert told["next"] == "The badge of Wren Halloway."
    picture = bench.get(f"/tags/{code}.png").data
    assert [one.text for one in read_codes(picture)] == [code]

    service = bench.ledger.service
    with service.database.writing() as db:
        db.execute("UPDATE person_name SET name = '' WHERE person = ?", (person,))
    erased = bench.look(f"/tags/{code}")
    assert (erased["person"], erased["name"]) == (person, "")
    assert bench.get(f"/tags/{code}.png").data != picture
    with service.database.reading() as db:
        row = db.execute("SELECT * FROM tag WHERE code = ?", (code,)).fetchone()
    assert "Wren" not in str(tuple(row))


def test_badges_are_made_by_the_lead_for_people_who_are_here(bench: HttpBench) -> None:
    assert bench.post("/people/mate/badge", {}, "tech").status_code == 403
    assert bench.post("/people/nobody/badge", {}, "lead").status_code == 404
    etag = bench.get("/people/mate", "lead").headers["ETag"]
    bench.send("PATCH", "/people/mate", "lead", json={"active": False}, headers={"If-Match": etag})

    assert bench.post("/people/mate/badge", {}, "lead").status_code == 409


def test_a_badge_is_on_no_bag_whatever_was_done(bench: HttpBench, job: str) -> None:
    code = bench.made("/people/mate/badge", {}, "lead")["code"]

    late = {"already_done": {"reason": "it was at hand"}}
    assert bench.refused(job, "remove", position="P1", bag=code)["reason"] == "not-a-bag"
    assert bench.refused(job, "remove", position="P1", bag=code, **late)["reason"] == "not-a-bag"


def test_a_lost_badge_is_voided_and_another_made(bench: HttpBench) -> None:
    code = bench.made("/people/mate/badge", {}, "lead")["code"]
    assert bench.post(f"/tags/{code}/void", {"reason": "lost"}).status_code == 200

    assert bench.made("/people/mate/badge", {}, "lead")["code"] != code
    assert "voided" in bench.look(f"/tags/{code}")["next"]


def test_a_bag_is_stowed_by_scanning_the_tag_of_the_rack_place(bench: HttpBench, job: str) -> None:
    rack = minted(bench, "rack", "rack 2, shelf 3")
    bench.remove(job, "P1", bench.tags[0])

    bench.act(job, "stow", tags=[bench.tags[0]], at_tag=f"{rack[:4]}-{rack[4:]}".lower())

    assert bench.look(f"/tags/{bench.tags[0]}")["stowed_at"] == "rack 2, shelf 3"
    place = bench.look(f"/tags/{rack}")
    assert (place["kind"], "job" in place, place["words"]) == ("rack", False, "rack 2, shelf 3")
    assert place["next"].startswith("Rack place: rack 2, shelf 3.")


def test_a_bag_is_stowed_in_a_box_by_the_box_s_tag(bench: HttpBench, job: str) -> None:
    bench.remove(job, "P1", bench.tags[0])

    bench.act(job, "stow", tags=[bench.tags[0]], at_tag=bench.tags[1])

    box = bench.look(f"/tags/{bench.tags[1]}")["shown"]
    assert bench.look(f"/tags/{bench.tags[0]}")["stowed_at"] == f"bag {box}"


def test_where_bags_stand_is_said_once(bench: HttpBench, job: str) -> None:
    rack = minted(bench, "rack")
    tags = bench.tags[:1]

    assert bench.refused(job, "stow", tags=tags)["field"] == "at"
    assert bench.refused(job, "stow", tags=tags, at="rack 2", at_tag=rack)["field"] == "at"
    assert bench.refused(job, "stow", tags=tags, at_tag=tags[0])["field"] == "at_tag"
    bench.post(f"/tags/{rack}/void", {"reason": "painted over"})
    assert bench.refused(job, "stow", tags=tags, at_tag=rack)["reason"] == "void-tag"


@pytest.mark.parametrize("use", ["rack", "temporary"])
def test_the_tag_of_a_place_or_an_item_is_no_bag_s_unless_it_was_taken_for_one(
    bench: HttpBench, job: str, use: str
) -> None:
    code = minted(bench, use, "hose plug 12")
    assert bench.refused(job, "remove", position="P1", bag=code)["reason"] == "not-a-bag"

    bench.remove(job, "P1", code, already_done={"reason": "no other tag was at hand"})

    assert bench.look(f"/tags/{code}")["kind"] == "bag"
    assert sum(one["quantity"] for one in bench.look(f"/tags/{code}")["contents"]) == 2


def test_a_temporary_item_s_tag_says_what_it_is(bench: HttpBench) -> None:
    code = minted(bench, "temporary", "hose plug 12")

    assert bench.look(f"/tags/{code}")["next"] == (
        "Temporary item: hose plug 12. It comes off before the end."
    )


def test_the_stocks_are_listed_and_each_can_be_tried_on_plain_paper(bench: HttpBench) -> None:
    stocks = bench.look("/stocks")["stocks"]

    assert [one["key"] for one in stocks] == list(stock_keys())
    usual = next(one for one in stocks if one["key"] == "a4-3x7")
    assert (usual["page_width_mm"], usual["page_height_mm"], usual["labels_a_page"]) == (
        "210", "297", 21,
    )  # fmt: skip
    for one in stocks:
        found = bench.get(f"/stocks/{one['key']}/scale.pdf")
        assert (found.status_code, found.data[:5]) == (200, b"%PDF-"), one["key"]
    unknown = problem(bench.get("/stocks/gold/scale.pdf"))
    assert (unknown["status"], unknown["field"]) == (422, "stock")
    assert "a4-3x7" in unknown["detail"]


def test_a_badge_is_drawn_with_its_sign(bench: HttpBench) -> None:
    badge = bench.made("/people/mate/badge", {}, "lead")["code"]
    drawn = Image.open(BytesIO(bench.get(f"/tags/{badge}.png").data))
    sheet = bench.get(f"/tags.pdf?codes={badge}")

    assert drawn.size[0] > 400
    assert (sheet.status_code, sheet.data[:5]) == (200, b"%PDF-")
