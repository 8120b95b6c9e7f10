"""The store at the parts desk: received, counted blind, kits given back, pieces named."""

from __future__ import annotations

from desk_flows import acts_of, program, stock_of
from floor import DESK, TABLET, Floor, answered, scan, wait_until
from playwright.sync_api import expect


def test_the_shelf_is_counted_without_seeing_what_the_book_has(stripped_van: Floor) -> None:
    before = stock_of(stripped_van)
    page = stripped_van.device("asha", size=TABLET)
    page.goto(stripped_van.url("/parts/count"))
    rows = page.locator("#count-form [data-one]")

    assert not any(
        str(count) in rows.locator("input").all_inner_texts() for count in before.values()
    )
    assert rows.filter(has_text="KF-1322").inner_text().strip() == "Harness tie 140 mm (KF-1322)"
    rows.filter(has_text="KF-1322").locator("input").fill("80")
    rows.filter(has_text="KF-1723").locator("input").fill(str(before["KF-1723"]))
    page.get_by_role("button", name="Record what is filled in").click()

    answered(page, "Recorded")
    counted = page.locator("#counted")
    expect(counted.locator("tr", has_text="KF-1322")).to_contain_text("fewer than the book 5")
    expect(counted.locator("tr", has_text="KF-1723")).to_contain_text("as the book had it")
    assert stock_of(stripped_van) == before | {"KF-1322": 80}


def test_parts_on_no_order_line_are_received_for_a_job(opened_van: Floor) -> None:
    page = opened_van.device("asha", size=DESK)
    page.goto(opened_van.url("/parts/receive"))

    page.fill("#re-part", "KF-1302")
    page.fill("#re-quantity", "10")
    page.fill("#re-reference", "D-99")
    page.select_option("#re-job", opened_van.van.job)
    page.get_by_role("button", name="Arrived").click()

    answered(page, "Received")
    assert stock_of(opened_van) == {"KF-1302": 10}


def test_a_scanned_blank_tag_becomes_a_kit_and_what_is_left_goes_back(opened_van: Floor) -> None:
    desk = program(opened_van, "asha")
    (blank,) = desk.make("/tags", {"count": 1})["tags"]
    receipt = {"key": "0b9b4a5e-6a52-4c0e-9a53-6f0f6f1f6a78", "kind": "receive"}
    desk.make("/workshop/acts", receipt | {"part": "KF-1010", "quantity": 12})
    page = opened_van.device("asha", size=TABLET)
    page.goto(opened_van.url(f"/parts/kits/{opened_van.van.job}"))

    scan(page, blank["shown"])
    expect(page.locator("#kit-bag")).to_have_value(blank["shown"])
    page.get_by_role("button", name="Issue all that is ticked").click()
    answered(page, "Recorded")
    kit = page.locator(f"#kit-{blank['code']}")
    expect(kit).to_contain_text("10 × Bolt M12x1.5x90")
    kit.get_by_text("Not needed: back to the store").click()
    kit.get_by_label("Pieces").fill("4")
    kit.get_by_label("Which").select_option("KF-1010")
    kit.get_by_role("button", name="Back to the store").click()

    expect(kit).to_contain_text("6 × Bolt M12x1.5x90")
    assert stock_of(opened_van) == {"KF-1010": 6}
    assert [one["request"]["quantity"] for one in acts_of(opened_van, "issue")] == [10]


def test_old_pieces_are_exchanged_one_for_one_at_the_desk(stripped_van: Floor) -> None:
    van = stripped_van.van
    bag = van.bags[van.home["WL-L1"]]
    (clips, *_) = program(stripped_van, "asha").get(f"/tags/{bag}")["contents"]
    page = stripped_van.device("asha", size=TABLET)
    page.goto(stripped_van.url(f"/parts/kits/{van.job}"))
    before = len(acts_of(stripped_van, "exchange"))

    page.locator("#exchange > summary").click()
    scan(page, bag)
    page.locator("#ex-more > summary").click()
    page.fill("#ex-part", clips["part"])
    page.locator("#exchange").get_by_role("button", name="Exchange").click()
    answered(page, "Exchanged one for one")

    *_, done = acts_of(stripped_van, "exchange")
    assert len(acts_of(stripped_van, "exchange")) == before + 1
    assert done["request"]["part"] == clips["part"]
    expect(page.locator("li[id^=old-]")).to_contain_text(clips["part"])


def test_a_bag_with_nothing_spent_is_not_exchanged_and_the_desk_is_told(
    stripped_van: Floor,
) -> None:
    van = stripped_van.van
    page = stripped_van.device("asha", size=TABLET)
    page.goto(stripped_van.url(f"/parts/kits/{van.job}"))

    page.locator("#exchange > summary").click()
    scan(page, van.bags[van.home["WL-L1"]])
    page.locator("#exchange").get_by_role("button", name="Exchange").click()

    expect(page.locator("#refusal")).to_contain_text("nothing in this bag is single-use or broken")


def test_a_stray_is_named_at_the_desk(stripped_van: Floor) -> None:
    van = stripped_van.van
    tech = program(stripped_van, "tove")
    (bag,) = tech.make("/tags", {"count": 1})["tags"]
    tech.make(
        f"/jobs/{van.job}/acts",
        {
            "key": "0b9b4a5e-6a52-4c0e-9a53-6f0f6f1f6a79",
            "kind": "stray",
            "bag": bag["code"],
            "words": "black clip from the floor",
        },
    )
    page = stripped_van.device("asha", size=DESK)
    page.goto(stripped_van.url("/parts/unknown"))

    card = page.locator("article", has_text="black clip from the floor")
    card.get_by_label("It is").select_option("one-more")
    card.get_by_label("Part number").fill("KF-1302")
    card.get_by_role("button", name="That is it").click()

    expect(page.locator("#unknown")).to_contain_text("every piece has its number")
    wait_until(lambda: acts_of(stripped_van, "identify"), "it is named on the ledger")
