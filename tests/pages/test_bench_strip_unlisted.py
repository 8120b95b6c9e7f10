"""A job nobody wrote a procedure for: a photo, a count, a bag, one tap for each group of pieces."""

from __future__ import annotations

from floor import Floor
from playwright.sync_api import expect
from strip_flows import Bench, a_group, bare_job, bench, made_safe, new_tag, recorded
from tally import Tally

from seed.play.people import password


def test_groups_of_pieces_with_a_photo_a_count_and_a_bag(opened_van: Floor) -> None:
    job = bare_job(opened_van)
    page = opened_van.device("tove")
    page.goto(opened_van.url(f"/bench/{job}"))
    tally = Tally(page)
    van = opened_van.van
    van.job = job
    at = Bench(opened_van, van, page, tally)

    for n, count in enumerate((6, 3, 4), start=1):
        a_group(at, count, new_tag(opened_van))
        expect(page.locator("section.step:visible h2")).to_contain_text(f"Group {n}")

    off = recorded(at, "remove", 3)
    assert [one["request"]["add"]["quantity"] for one in off] == [6, 3, 4]
    assert [one["request"]["add"]["step_title"] for one in off] == ["Group 1", "Group 2", "Group 3"]
    assert all(len(one["request"]["photos"]) == 1 for one in off)
    assert len({one["request"]["bag"] for one in off}) == 3
    cost = tally.tasks["a group of pieces that no list knows"]
    assert (cost.scans, cost.taps, cost.photos) == (1, 2, 1)


def test_what_is_not_on_the_list_belongs_to_the_step_shown(opened_van: Floor) -> None:
    made_safe(opened_van)
    at = bench(opened_van)
    at.go("liner-left")

    at.tally.tap("#not-on-the-list > summary")
    at.tally.tap("#group .more")
    at.tally.scan(new_tag(opened_van))
    at.tally.tap("#group button.main")

    added = next(one for one in recorded(at, "remove", 2) if "add" in one["request"])
    assert added["request"]["add"]["quantity"] == 2
    assert added["request"]["add"]["step"] == "liner-left"
    expect(at.step("liner-left")).to_contain_text("Group 1")


def test_what_no_plan_can_count_is_counted_by_whoever_takes_it_off(opened_van: Floor) -> None:
    lead = opened_van.door().sign_in("jorin", password("jorin"), "office")
    shims = {"id": "SH-1", "where": "under the mount", "sets": 1, "as_found": True}
    out = {"id": "shims", "number": 10, "title": "Shims out"}
    out["positions"] = [{**shims, "stack": [{"part": "KF-1410"}]}]
    lead.make("/procedures", {"key": "mount", "title": "Mount off", "steps": [out]})
    vehicle = lead.make("/vehicles", {"model": "Small tipper (invented)"})["id"]
    asked = {"title": "Mount", "vehicle": vehicle, "procedure": "mount"}
    job = str(lead.make("/jobs", asked)["id"])
    page = opened_van.device("tove")
    page.goto(opened_van.url(f"/bench/{job}"))
    van = opened_van.van
    van.job = job
    at = Bench(opened_van, van, page, Tally(page))

    at.tally.scan(new_tag(opened_van))
    at.tally.fill("#sets-SH-1", "3")
    at.tally.tap(page.get_by_role("button", name="So many off"))

    (off,) = recorded(at, "remove", 1)
    assert off["request"]["sets"] == 3
    assert off["entries"][-1]["to"]["place"].startswith("bag:")
