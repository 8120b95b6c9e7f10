"""Taking apart at the bench, in a real browser: one scan, one tap."""

from __future__ import annotations

from floor import Floor, answered, scan
from playwright.sync_api import expect
from strip_flows import bench, recorded, strip_to_the_lift, strip_underneath, tray_and_cover


def test_a_step_before_its_turn_is_refused_loudly_and_recorded_as_already_done(
    opened_van: Floor,
) -> None:
    van = opened_van.van
    page = opened_van.device("tove")
    page.goto(opened_van.url(f"/bench/{van.job}#step-liner-left"))

    scan(page, van.bags[van.home["WL-L1"]])
    page.locator("section[data-step=liner-left] form[data-all-off] button").click()
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
    strip_underneath(at, "liner-left", "liner-right", "sill-left", "sill-right", "shield-front")
    tray_and_cover(at)
    strip_underneath(at, "shield-middle", "guard-left", "guard-right", "brace-front")
    strip_underneath(at, "brace-rear", "strut-left", "strut-right", "brake-pipes")

    done = {act["request"].get("step") for act in recorded(at, "remove", 16)}
    assert len(done | {"identify", "fence", "plug-custody", "lift"}) >= 20
    (plug,) = [act for act in at.acts("remove") if act["request"].get("with_person")]
    assert plug["request"]["with_person"] == at.van.people["tove"]
    assert at.acts("lock")[0]["request"]["step"] == "service-plug"
    holds = {act["request"]["hold"]: act["request"] for act in at.acts("hold")}
    assert holds["h-fenced"]["instrument"] == "M-07"
    assert holds["h-fenced"]["proved_before"]
    assert holds["h-fenced"]["proved_after"]
    assert holds["h-plug"]["witness"] == at.van.people["jorin"]
    caps = {act["request"]["item"] for act in at.acts("put-on")}
    assert {"t-board", "t-seat", "t-wing", "t-pole", "t-socket", "t-pads"} <= caps
    usual = at.tally.tasks["a whole step off into its bag"]
    assert (usual.scans, usual.taps) == (1, 1)
