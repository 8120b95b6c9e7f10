"""Taking apart at the bench, in a real browser: one scan, one tap."""

from __future__ import annotations

from floor import Floor, answered, scan
from playwright.sync_api import expect
from strip_flows import bench, recorded, strip_to_the_lift, strip_underneath


def test_a_step_before_its_turn_is_refused_loudly_and_recorded_as_already_done(
    opened_van: Floor,
) -> None:
    van = opened_van.van
    page = opened_van.device("tove")
    page.goto(opened_van.url(f"/bench/{van.job}#step-liner-left"))

    scan(page, van.bags[van.home["WL-L1"]])
    page.locator("section[data-step=liner-left] button.main").click()
    refusal = page.locator("#refusal")
    expect(refusal).to_be_visible()
    refusal.get_by_text("It is already done").click()
    refusal.get_by_text("found like this").click()

    assert "all off" in answered(page)
    last = opened_van.acts(van.job)[-1]
    assert last["kind"] == "remove"
    assert last["request"]["already_done"]["reason"] == "found like this"


def test_a_technician_strips_twenty_steps(opened_van: Floor) -> None:
    at = bench(opened_van)

    strip_to_the_lift(at)
    strip_underneath(at, "liner-left", "liner-right", "sill-left", "sill-right")

    assert len(recorded(at, "hold", 4)) == 4
