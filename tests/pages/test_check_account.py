"""The checker's account of a job: two lines, findings by gravity, decided on where they stand."""

from __future__ import annotations

import pytest
from checker import (
    act,
    answer_and_release,
    finding,
    hashes,
    line,
    look_at,
    open_deed,
    recorded,
    take_as_it_is,
)
from floor import DESK, PHONE, TABLET, Floor, answered
from playwright.sync_api import expect

from seed.play.van import ACCEPTED


def test_quality_takes_what_was_done_anyway_and_releases(refitted_van: Floor) -> None:
    job = refitted_van.van.job
    page = refitted_van.device("brun", size=TABLET)
    look_at(refitted_van, page)

    assert line(page, "book").get_attribute("data-good") == "no"
    assert line(page, "seen").get_attribute("data-good") == "yes"
    expect(page.locator(".limits")).to_contain_text("leaves no record")
    for (place, _), reason in ACCEPTED.items():
        take_as_it_is(page, finding(page, "done-anyway", place), reason)

    expect(line(page, "book")).to_have_attribute("data-good", "yes")
    page.get_by_role("link", name="To the release").click()
    head = hashes(refitted_van)[-1]
    answer_and_release(page)

    expect(page.locator("[data-ended=released]")).to_contain_text("Brun Lott")
    *accepted, released = refitted_van.acts(job)[-4:]
    assert [one["request"]["reason"] for one in accepted] == list(ACCEPTED.values())
    assert [one["effects"][0]["place"] for one in accepted] == [place for place, _ in ACCEPTED]
    assert released["kind"] == "release"
    assert released["by"] == refitted_van.van.people["brun"]
    assert released["request"]["head"] == head
    assert released["request"]["old_parts"] == "discarded"


def test_a_finding_says_who_and_when_and_leads_to_its_trail(refitted_van: Floor) -> None:
    page = refitted_van.device("brun", size=DESK)
    look_at(refitted_van, page)

    card = finding(page, "done-anyway", "FS-01")
    expect(card).to_contain_text("Miro Kell")
    expect(card).to_contain_text("120")
    expect(card).to_contain_text("Underbody, front")
    expect(card).to_contain_text("to be settled")
    card.get_by_role("link", name="Trail").click()

    lines = page.locator("#trail .act")
    expect(lines).to_have_count(8)
    expect(lines.nth(4)).to_contain_text("refused, and done anyway")
    expect(lines.nth(4)).to_contain_text("Miro Kell")
    expect(lines.nth(4)).to_contain_text("handheld 2")
    text = page.locator("main").inner_text().casefold()
    assert not {"entry", "balance", "ledger", "secured:", "lot "} & set(text.split())


def test_a_search_and_a_look_into_a_bag_are_recorded_where_they_are_missing(
    refitted_van: Floor,
) -> None:
    job = refitted_van.van.job
    van = refitted_van.van
    code = van.bags[van.home["FS-01"]]
    reason = {"reason": "one more look under the head"}
    for kind in ("remove", "secure"):
        recorded(
            refitted_van, "miro", kind, position="FS-01", bag=code, quantity=1, already_done=reason
        )
    page = refitted_van.device("brun", size=PHONE)
    look_at(refitted_van, page)

    expect(line(page, "seen")).to_contain_text("vehicle not searched")
    finding(page, "bag-not-seen-empty").get_by_text("Looked in: it is empty").click()
    answered(page, "seen empty")
    expect(finding(page, "bag-not-seen-empty")).to_have_count(0)
    page.locator("#search-all summary").click()
    page.locator("#search-all [name=vehicle]").check()
    page.locator("#search-all [name=bay]").check()
    page.get_by_role("button", name="Record the search").click()
    answered(page, "searched")

    expect(line(page, "seen")).to_contain_text("bay searched")
    seen, searched = refitted_van.acts(job)[-2:]
    assert (seen["kind"], searched["kind"]) == ("seen-empty", "search")
    assert (
        searched["request"] | {"vehicle": True, "bay": True, "result": "nothing"}
        == (searched["request"])
    )


def test_a_count_that_differs_is_settled_by_who_did_not_count(stripped_van: Floor) -> None:
    van = stripped_van.van
    code = van.bags[van.home["FS-01"]]
    recorded(stripped_van, "miro", "count", bag=code, counted=[{"part": "KF-1110", "quantity": 5}])
    page = stripped_van.device("brun", size=TABLET)
    look_at(stripped_van, page)

    card = finding(page, "count-differs").filter(has_text="KF-1110")
    form = open_deed(card, "Settle the count")
    form.locator("textarea").fill("looked into the bag: five")
    form.get_by_role("button").click()

    answered(page, "Count settled")
    last = stripped_van.acts(van.job)[-1]
    assert (last["kind"], last["by"]) == ("adjust", van.people["brun"])


def test_a_technician_may_look_and_not_decide(refitted_van: Floor) -> None:
    page = refitted_van.device("miro")
    look_at(refitted_van, page)

    expect(finding(page, "done-anyway")).to_have_count(3)
    expect(page.get_by_text("Take as it is")).to_have_count(0)
    refused = act(
        refitted_van, "miro", "accept", finding="done-anyway", place="FS-01", reason="mine"
    )
    assert refused.status == 403


@pytest.mark.parametrize("size", [PHONE, TABLET, DESK], ids=["phone", "tablet", "desk"])
def test_no_page_is_wider_than_its_screen(refitted_van: Floor, size: dict[str, int]) -> None:
    page = refitted_van.device("brun", size=size)
    for path in ("", "/trail", "/trail/position/FS-01", "/holds", "/release", "/record"):
        look_at(refitted_van, page, f"{path}")
        page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
        over = page.evaluate(
            "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        )
        assert over == 0, path
        ids = page.evaluate("[...document.querySelectorAll('[id]')].map((one) => one.id)")
        assert len(ids) == len(set(ids)), path
        unlabelled = page.evaluate(
            "[...document.querySelectorAll('main input:not([type=hidden]), main select,"
            " main textarea')].filter((one) => !one.labels.length).map((one) => one.id)"
        )
        assert unlabelled == [], path
