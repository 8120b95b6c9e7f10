"""The bags of a job in a browser: counted blind, seen empty by one photo, put away, found again."""

from __future__ import annotations

from io import BytesIO
from typing import Any
from uuid import uuid4

from floor import Floor, answered, scan
from PIL import Image
from playwright.sync_api import Page, expect
from recorded import recorded

from seed.play import people


def bags_page(floor: Floor, login: str = "miro") -> Page:
    page = floor.device(login)
    page.goto(floor.url(f"/bench/{floor.van.job}/bags"))
    page.wait_for_selector("html[data-ready]")
    return page


def shown(code: str) -> str:
    return f"{code[:4]}-{code[4:]}"


def emptied(floor: Floor, *names: str) -> list[str]:
    """These bags, emptied into the trolley's bag."""
    tove = floor.door().sign_in("tove", people.password("tove"), "bench")
    for name in names:
        act = {
            "kind": "rebag",
            "bag": floor.van.bags[name],
            "into": floor.van.bags["trolley: pack"],
        }
        tove.make(f"/jobs/{floor.van.job}/acts", {"key": str(uuid4()), **act})
    return [floor.van.bags[name] for name in names]


def photo_of(floor: Floor, codes: list[str]) -> dict[str, Any]:
    """A photo of a table: the tags of these bags, laid out in rows."""
    tove = floor.door().sign_in("tove", people.password("tove"), "bench")
    tags = [Image.open(BytesIO(tove.fetch(f"/tags/{code}.png"))).convert("RGB") for code in codes]
    wide, high = max(one.width for one in tags) + 60, max(one.height for one in tags) + 60
    table = Image.new("RGB", (3 * wide, -(-len(tags) // 3) * high), (150, 120, 90))
    for at, one in enumerate(tags):
        table.paste(one, (at % 3 * wide + 30, at // 3 * high + 30))
    taken = BytesIO()
    table.save(taken, "JPEG", quality=90)
    return {"name": "table.jpg", "mimeType": "image/jpeg", "buffer": taken.getvalue()}


def test_a_count_is_blind_and_another_person_adjusts_it(stripped_van: Floor) -> None:
    bag = stripped_van.van.bags["bolts-corner"]
    page = bags_page(stripped_van)

    scan(page, bag)
    dialog = page.locator("#bag-do")
    expect(dialog).to_be_visible()
    expect(page.locator("#scan-last")).to_have_text(shown(bag))
    assert dialog.locator("[data-counted=count] input[type=number]").first.input_value() == ""
    expect(page.locator(f"#in-{bag}")).not_to_have_attribute("open", "")
    dialog.get_by_label("Bolt M10x30").first.fill("4")
    dialog.get_by_label("Washer M10").first.fill("3")
    dialog.get_by_role("button", name="Counted").click()

    assert "3 Washer M10" in answered(page, "Washer M10")
    count = recorded(stripped_van, "count", bag=bag)
    told = {one["part"]: one["quantity"] for one in count["request"]["counted"]}
    assert told == {"KF-1026": 4, "KF-1434": 3}
    assert count["request"]["seen_seq"] > 0

    tove = bags_page(stripped_van, "tove")
    tove.locator("#waits").get_by_label("Why it differs").fill("one is under the bench")
    tove.get_by_role("button", name="Adjust the book").click()
    recorded(stripped_van, "adjust", count=count["key"])
    expect(tove.locator("#waits").get_by_text("1 × Washer M10")).to_be_visible()


def test_what_is_lost_is_searched_for_and_found_into_a_bag(stripped_van: Floor) -> None:
    bag = stripped_van.van.bags["bolts-corner"]
    page = bags_page(stripped_van)
    page.locator(f"#bag-{bag}").get_by_role("button", name="Count, move").click()
    page.get_by_text("Something of it is lost").click()
    page.locator("#do-lose").get_by_label("Which part").select_option("KF-1434")
    page.get_by_role("button", name="It cannot be found").click()
    lost = page.locator("#waits section").filter(has_text="Washer M10")
    lost.get_by_label("Where and with what").fill("under the lift, with a magnet")
    lost.get_by_role("button", name="Searched: nothing").click()
    recorded(stripped_van, "search", where="under the lift, with a magnet", result="nothing")

    lost.get_by_label("Into which bag").focus()
    scan(page, bag)
    lost.get_by_role("button", name="Found", exact=True).click()

    found = recorded(stripped_van, "find", part="KF-1434")["request"]
    assert found["bag"].replace("-", "") == bag
    expect(lost).to_have_count(0)


def test_one_photo_of_the_table_sees_the_empty_bags_and_names_the_others(
    stripped_van: Floor,
) -> None:
    empty = emptied(stripped_van, "vent-front", "bolts-corner", "signal-rear")
    full = stripped_van.van.bags["bolts-centre"]
    page = bags_page(stripped_van)
    expect(page.locator("#emptied [data-empty]")).to_have_count(3)

    page.locator("#table-photo").set_input_files(photo_of(stripped_van, [*empty[:2], full]))

    read = page.locator("#table-read")
    expect(read.get_by_text("3 tags read")).to_be_visible()
    expect(read.locator(".seen.empty")).to_have_count(2)
    read.locator("[data-list=full] summary").click()
    expect(read.locator("[data-list=full]")).to_contain_text(shown(full))
    read.locator("[data-list=missingEmpty] summary").click()
    expect(read.locator("[data-list=missingEmpty]")).to_contain_text(shown(empty[2]))
    read.locator("[data-list=missing] summary").click()
    tray = stripped_van.van.bags["bolts-left"]
    expect(read.locator("[data-list=missing]")).to_contain_text(shown(tray))
    read.get_by_role("button", name="Record these 2 as seen empty").click()

    answered(page, "2 bags seen empty")
    act = recorded(stripped_van, "seen-empty")
    assert sorted(act["request"]["bags"]) == sorted(empty[:2])
    assert len(act["request"]["photos"]) == 1
    expect(page.locator("#emptied [data-empty]")).to_have_count(1)


def test_a_photo_with_no_line_says_to_take_it_again(stripped_van: Floor) -> None:
    photo = photo_of(stripped_van, [stripped_van.van.bags["bolts-centre"]])
    page = bags_page(stripped_van)
    page.context.set_offline(True)

    page.locator("#table-photo").set_input_files(photo)

    assert "no line now" in answered(page, "no line now")


def test_bags_are_put_away_by_scanning_them_and_the_place(stripped_van: Floor) -> None:
    van = stripped_van.van
    lead = stripped_van.door().sign_in("jorin", people.password("jorin"), "office")
    place = {"count": 1, "use": "rack", "words": "rack 2, shelf 3"}
    rack = lead.make("/tags", place)["tags"][0]["code"]
    page = bags_page(stripped_van)
    page.get_by_text("Put bags away").click()

    for code in (van.bags["bolts-left"], van.bags["bolts-right"], rack):
        scan(page, code)
    expect(page.locator("#put-away .place")).to_have_text("rack 2, shelf 3")
    page.get_by_role("button", name="They stand there").click()

    stow = recorded(stripped_van, "stow", at_tag=rack)["request"]
    assert stow["tags"] == [van.bags["bolts-left"], van.bags["bolts-right"]]
    expect(page.locator(f"#bag-{van.bags['bolts-left']} .stands")).to_have_text("rack 2, shelf 3")


def test_a_soaked_tag_is_replaced_and_the_bag_counted_blind(stripped_van: Floor) -> None:
    bag = stripped_van.van.bags["vent-front"]
    lead = stripped_van.door().sign_in("jorin", people.password("jorin"), "office")
    new = lead.make("/tags", {"count": 1})["tags"][0]["code"]
    page = bags_page(stripped_van)
    page.locator(f"#bag-{bag}").get_by_role("button", name="Count, move").click()
    page.get_by_text("Its tag is lost or soaked").click()

    scan(page, new)
    page.locator("#do-retag").get_by_label("Expanding rivet clip").fill("2")
    page.get_by_role("button", name="It carries the new tag").click()

    retag = recorded(stripped_van, "retag", bag=bag)["request"]
    assert retag["into"].replace("-", "") == new
    expect(page.locator(f"#bag-{new}")).to_be_visible()
    expect(page.locator(f"#bag-{bag}")).to_have_count(0)


def test_many_bags_are_filtered_by_zone_and_by_words(stripped_van: Floor) -> None:
    page = bags_page(stripped_van)
    rows = page.locator("#full .bag-row:not([hidden])")
    all_of_them = rows.count()
    assert all_of_them > 40

    page.get_by_label("Zone").select_option("Rail, left")
    expect(page.locator(f"#bag-{stripped_van.van.bags['bolts-left']}")).to_be_visible()
    assert 0 < rows.count() < all_of_them / 2
    page.get_by_label("Filter").fill("spacer sleeve")

    expect(rows).to_have_count(1)
