"""Where a trail is reached from, what stands in it, and the hold points and record beside it."""

from __future__ import annotations

import pytest
from checker import look_at, recorded
from floor import PHONE, TABLET, Floor, scan
from playwright.sync_api import expect


@pytest.mark.parametrize(
    ("wanted", "leads_to"),
    [
        ("fs-01", "/trail/position/FS-01"),
        ("KF-1112", "/trail/part/KF-1112"),
    ],
)
def test_a_number_leads_straight_to_its_trail(
    refitted_van: Floor, wanted: str, leads_to: str
) -> None:
    page = refitted_van.device("brun", size=TABLET)
    look_at(refitted_van, page, "/trail")

    page.get_by_role("searchbox").fill(wanted)
    page.get_by_role("button", name="Find").click()

    page.wait_for_url(f"**{leads_to}")
    expect(page.locator("#trail .act").first).to_contain_text("job opened")


def test_words_find_positions_in_their_zone(refitted_van: Floor) -> None:
    page = refitted_van.device("brun")
    look_at(refitted_van, page, "/trail")
    everything = page.locator(".places-of li").count()

    page.get_by_role("searchbox").fill("inner row")
    page.get_by_role("button", name="Find").click()

    expect(page.locator(".places-of li")).to_have_count(1)
    expect(page.locator("h2", has_text="Underbody, front")).to_be_visible()
    assert everything > 100
    page.get_by_role("searchbox").fill("nothing of this kind")
    page.get_by_role("button", name="Find").click()
    expect(page.get_by_text("Nothing fits.")).to_be_visible()


def test_a_scanned_bag_opens_its_trail(refitted_van: Floor) -> None:
    van = refitted_van.van
    code = van.bags[van.home["FS-02"]]
    page = refitted_van.device("brun", size=TABLET)
    look_at(refitted_van, page)

    scan(page, code)

    page.wait_for_url("**/trail/bag/**")
    titles = [one.split("\n")[0] for one in page.locator("#trail .act").all_inner_texts()]
    assert titles[0].startswith("taken off")
    assert any(one.startswith("bag seen empty") for one in titles)
    expect(page.locator("#now")).to_contain_text("Nothing is there.")


def test_an_undone_act_says_by_which_one_and_why(refitted_van: Floor) -> None:
    page = refitted_van.device("brun")
    look_at(refitted_van, page, "/trail/position/HK-L2")

    undone = page.locator("#trail .act.undone")
    expect(undone).to_have_count(1)
    expect(undone).to_contain_text("undone by act")
    expect(page.locator("#trail .act", has_text="one bolt still lies in the tray")).to_be_visible()


def test_the_trail_shows_a_photo_and_what_was_recorded_meanwhile(refitted_van: Floor) -> None:
    page = refitted_van.device("brun", size=PHONE)
    look_at(refitted_van, page, "/trail/position/FS-01")
    expect(page.locator("#trail .act")).to_have_count(8)

    recorded(refitted_van, "tove", "remark", position="FS-01", words="thread marks on the flange")

    expect(page.locator("#trail .act")).to_have_count(9)
    expect(page.locator("#trail .act").last).to_contain_text("“thread marks on the flange”")


def test_what_is_not_of_the_job_is_said_so(refitted_van: Floor) -> None:
    page = refitted_van.device("brun")
    look_at(refitted_van, page, "/trail/position/XX-99")

    expect(page.locator("main")).to_contain_text("There is no position XX-99")


def test_hold_points_stand_with_readings_limits_witness_and_why_they_lapsed(
    refitted_van: Floor,
) -> None:
    page = refitted_van.device("brun", size=TABLET)
    look_at(refitted_van, page, "/holds")

    dead = page.locator('[data-hold="h-dead"]')
    expect(dead).to_have_attribute("data-state", "hold-lapsed")
    expect(dead).to_contain_text("No longer good: step 50")
    expect(dead).to_contain_text("at most 60 V")
    expect(dead).to_contain_text("within")
    expect(dead).to_contain_text("witness Jorin Vale")
    expect(dead).to_contain_text("M-07")
    expect(dead.locator("details summary")).to_have_text("1 before")


def test_the_record_names_the_people_and_proves_the_ledger(refitted_van: Floor) -> None:
    job = refitted_van.van.job
    page = refitted_van.device("brun", size=TABLET)
    look_at(refitted_van, page, "/record")

    miro = page.locator("#people li", has_text="Miro Kell")
    expect(miro).to_contain_text("does not release it")
    expect(page.locator("#people li", has_text="Asha Dahn")).not_to_contain_text("does not release")
    expect(page.locator("#refused")).to_contain_text("dismissed in act")
    expect(page.locator("#refused")).to_contain_text("scanned twice under the van")
    expect(page.locator("#vehicle")).to_contain_text("steel screw under the carpet")
    with page.expect_download() as table:
        page.get_by_role("link", name="Ledger as a table (CSV)").click()
    assert table.value.path().read_text("utf-8").startswith("seq,done_at")
    page.get_by_role("link", name="Verify now").click()

    acts = len(refitted_van.acts(job))
    expect(page.locator("#proof")).to_contain_text(f"All {acts} acts")
