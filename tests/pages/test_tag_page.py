"""A tag's own page, for each kind of thing that a tag may be on."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

from floor import Floor, scan, wait_until
from playwright.sync_api import Page, expect

from seed.play import people


def opened(floor: Floor, code: str, login: str = "miro", way: str = "t") -> Page:
    page = floor.device(login)
    page.goto(floor.url(f"/{way}/{code}"))
    page.wait_for_selector("html[data-ready]")
    return page


def minted(floor: Floor, **asked: Any) -> str:
    """A tag that nothing has been put into."""
    lead = floor.door().sign_in("jorin", people.password("jorin"), "office")
    return str(lead.make("/tags", asked)["tags"][0]["code"])


def test_the_link_on_a_bag_tells_what_is_in_it_and_leads_to_its_step(stripped_van: Floor) -> None:
    van = stripped_van.van
    bag = van.bags["bolts-corner"]

    page = opened(stripped_van, bag, way="T")

    assert page.url.endswith(f"/t/{bag}")
    expect(page.locator("h1")).to_contain_text(f"{bag[:4]}-{bag[4:]}")
    expect(page.locator(".next")).to_contain_text("Fit")
    expect(page.get_by_text("Washer M10").first).to_be_visible()
    picture = page.locator("img.tag-picture")
    picture.scroll_into_view_if_needed()
    wait_until(lambda: picture.evaluate("one => one.naturalWidth") > 100, "the picture is there")
    page.get_by_role("link", name="Put back from this bag").click()
    expect(page.locator("section[data-step=bolts-corner] .from.in-hand")).to_be_visible()


def test_a_phone_that_is_not_signed_in_comes_back_to_the_tag(stripped_van: Floor) -> None:
    bag = stripped_van.van.bags["bolts-corner"]
    page = stripped_van.device()
    page.goto(stripped_van.url(f"/T/{bag}"))

    page.fill("#login", "miro")
    page.fill("#password", people.password("miro"))
    page.click("form.plain button.main")

    expect(page.locator("h1")).to_contain_text(bag[:4])
    assert page.url.endswith(f"/t/{bag}")


def test_a_board_shows_its_pockets_and_each_pocket_its_board(stripped_van: Floor) -> None:
    van = stripped_van.van
    page = opened(stripped_van, van.bags["tray"])
    pocket = van.bags["tray, pocket 2"]

    page.locator(".pockets").get_by_role("link", name=f"{pocket[:4]}-{pocket[4:]}").click()

    expect(page.get_by_text("Pocket 2 of board")).to_be_visible()
    expect(page.locator(".next")).to_contain_text("Fit")


def test_an_emptied_bag_is_seen_empty_on_its_own_page(stripped_van: Floor) -> None:
    van = stripped_van.van
    bag = van.bags["bolts-corner"]
    tove = stripped_van.door().sign_in("tove", people.password("tove"), "bench")
    rebag = {"kind": "rebag", "bag": bag, "into": van.bags["bolts-centre"]}
    tove.make(f"/jobs/{van.job}/acts", {"key": str(uuid4()), **rebag})
    page = opened(stripped_van, bag)

    page.get_by_role("button", name="I looked inside: empty").click()

    expect(page.locator(".next")).to_contain_text("the bag is done with")
    last = stripped_van.acts(van.job)[-1]
    assert (last["kind"], last["request"]["bags"]) == ("seen-empty", [bag])


def test_a_blank_tag_is_voided_and_says_so(stripped_van: Floor) -> None:
    code = minted(stripped_van, count=1)
    page = opened(stripped_van, code)
    expect(page.locator(".next")).to_contain_text("Blank tag")

    page.get_by_text("The tag is lost, torn or cannot be read").click()
    page.get_by_label("Why").fill("went through the wash")
    page.get_by_role("button", name="Void it").click()

    expect(page.locator(".next")).to_contain_text("voided")
    expect(page.get_by_role("button", name="Void it")).to_have_count(0)


def test_a_bag_with_pieces_in_it_is_not_voided_and_the_page_says_why(stripped_van: Floor) -> None:
    page = opened(stripped_van, stripped_van.van.bags["bolts-corner"])

    page.get_by_text("The tag is lost, torn or cannot be read").click()
    page.get_by_label("Why").fill("torn")
    page.get_by_role("button", name="Void it").click()

    expect(page.locator(".fault")).to_contain_text("Move them into another bag first")
    expect(page.get_by_label("Why")).to_have_value("torn")


def test_a_badge_and_a_rack_place_say_what_they_are(stripped_van: Floor) -> None:
    lead = stripped_van.door().sign_in("jorin", people.password("jorin"), "office")
    badge = lead.make(f"/people/{stripped_van.van.people['tove']}/badge", {})["code"]
    rack = minted(stripped_van, count=1, use="rack", words="rack 2, shelf 3")
    page = opened(stripped_van, badge)

    expect(page.locator(".next")).to_contain_text("badge of Tove")
    scan(page, rack)

    expect(page.locator(".next")).to_contain_text("rack 2, shelf 3")


def test_a_mistyped_code_is_told_and_leads_on(stripped_van: Floor) -> None:
    page = stripped_van.device("miro")

    page.goto(stripped_van.url("/t/7K3M9HWX"))

    expect(page.locator("h1")).to_be_visible()
    expect(page.get_by_role("link", name="All jobs").last).to_be_visible()
