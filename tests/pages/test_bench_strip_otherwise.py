"""What does not go as planned while taking apart: two taps away, and in the ledger as told."""

from __future__ import annotations

from typing import Any

from floor import Floor, answered, wait_until
from playwright.sync_api import expect
from strip_flows import (
    READINGS,
    Bench,
    a_clip_breaks,
    badge,
    bench,
    made_safe,
    new_tag,
    one_is_missing,
    picture,
    recorded,
)

BY_ITSELF = ("key", "kind", "done_at", "device_seq", "queued", "clock_offset_ms", "by")


def told(at: Bench, kind: str) -> dict[str, Any]:
    """What a person told in the newest act of a kind."""
    request = recorded(at, kind, 1)[-1]["request"]
    return {name: one for name, one in request.items() if name not in BY_ITSELF}


def test_a_breakage_and_a_missing_piece_are_two_taps(opened_van: Floor) -> None:
    made_safe(opened_van)
    at = bench(opened_van)
    at.go("liner-right")

    a_clip_breaks(at)
    expect(at.step("liner-right").get_by_text("All 4 off")).to_be_visible()
    broke = told(at, "remove")
    at.tally.tap(at.step("liner-right").locator("form[data-all-off] button"))
    at.moved_on("liner-right")
    at.go("sill-right")
    one_is_missing(at)
    at.all_off("sill-right", at.bag_of("SC-R2"))
    at.moved_on("sill-right")

    assert (broke["position"], broke["broken"], broke["rest"]) == ("WL-R2", 1, "in-vehicle")
    assert told(at, "missing") == {"position": "SC-R3", "sets": 1}
    (found,) = [
        one for one in at.floor.acts(at.van.job) if one["request"].get("step") == "sill-right"
    ]
    assert sum(entry["quantity"] for entry in found["entries"]) == 11
    assert at.tally.tasks["one is missing"].taps == 2


def test_this_vehicle_is_different(opened_van: Floor) -> None:
    made_safe(opened_van)
    at = bench(opened_van)
    at.go("shield-front")

    at.tally.tap("[data-otherwise='FS-01']")
    shown = at.page.locator("#otherwise-count").input_value()
    at.tally.fill("#otherwise-count", "7")
    at.tally.tap(at.page.get_by_role("button", name="So many are really there"))
    more = told(at, "differs")
    at.otherwise("FS-03", "This vehicle does not have it")
    gone = told(at, "does-not-apply")
    at.otherwise("FS-05", "Not there at all")
    came = told(at, "arrived-off")
    at.otherwise("FS-01", "Back into its own hole")
    hole = recorded(at, "remove", 2)[-1]["request"]

    assert shown == "1"
    assert (more["position"], more["sets"], more["reason"]) == (
        "FS-01", 7, "counted on this vehicle",
    )  # fmt: skip
    assert (gone["position"], came["positions"], came["missing"]) == ("FS-03", ["FS-05"], True)
    assert (hole["position"], hole["own_hole"]) == ("FS-01", True)


def test_a_step_left_out_a_stray_and_a_remark_with_its_photo(opened_van: Floor) -> None:
    made_safe(opened_van)
    at = bench(opened_van)
    stray_bag = new_tag(opened_van)
    at.go("pump-plug")

    at.tally.tap("[data-otherwise-step='pump-plug']")
    at.tally.scan(stray_bag)
    at.page.set_input_files(
        "#stray-photo", {"name": "s.jpg", "mimeType": "image/jpeg", "buffer": picture()}
    )
    at.tally.tap(at.page.get_by_role("button", name="Found, into this bag"))
    stray = told(at, "stray")
    at.tally.tap("[data-otherwise-step='pump-plug']")
    at.tally.choose("#defect-step", "chafed")
    at.tally.tap(at.page.locator("#otherwise-step").get_by_text("Record the remark"))
    remark = told(at, "remark")
    at.tally.tap("[data-otherwise-step='pump-plug']")
    at.tally.tap(at.page.get_by_role("button", name="This step is not done"))
    at.moved_on("pump-plug")

    assert stray["words"] == "see the photo"
    assert len(stray["photos"]) == 1
    assert (remark["step"], remark["defect"]) == ("pump-plug", "chafed")
    assert told(at, "not-done") == {"step": "pump-plug", "reason": "not needed this time"}


def test_a_wrong_bag_shows_where_it_belongs_and_the_way_back_is_one_tap(opened_van: Floor) -> None:
    made_safe(opened_van)
    at = bench(opened_van)
    at.go("brace-front")
    second_bag = at.bag_of("FS-02")

    at.tally.scan(second_bag)
    warned = answered(at.page, "belongs to step 120")
    expect(at.step("shield-front")).to_be_visible()
    at.page.get_by_role("button", name="Use it at step 170").click()

    assert "it is shown now" in warned
    expect(at.step("brace-front")).to_be_visible()
    code = f"{second_bag[:4]}-{second_bag[4:]}"
    expect(at.step("brace-front").locator("form[data-all-off] button")).to_contain_text(code)


def test_a_bag_made_for_one_position_takes_that_one_first(opened_van: Floor) -> None:
    made_safe(opened_van)
    at = bench(opened_van)
    at.go("shield-front")

    with at.tally.task("one position off into its own bag"):
        at.tally.scan(at.bag_of("FS-02"))
        at.tally.tap(at.step("shield-front").locator("form[data-own-bag] button"))
    expect(at.step("shield-front").get_by_text("All 10 off")).to_be_visible()

    off = recorded(at, "remove", 2)[-1]["request"]
    assert off["position"] == "FS-02"
    assert off["bag"].replace("-", "") == at.bag_of("FS-02")


def standing(at: Bench) -> list[str]:
    """The liners that are off by acts that were not reversed."""
    reversed_ = {one["request"]["act"] for one in at.acts("reverse")}
    off = [one for one in at.acts("remove") if one["request"].get("step", "").startswith("liner")]
    return [one["request"]["step"] for one in off if one["key"] not in reversed_]


def test_the_last_act_is_undone_here_or_in_the_ledger(opened_van: Floor) -> None:
    made_safe(opened_van)
    at = bench(opened_van)
    at.go("liner-left")

    at.all_off("liner-left", at.bag_of("WL-L2"))
    at.moved_on("liner-left")
    with at.tally.task("the last act undone"):
        at.undo_last("wrong bag scanned")
    (undone,) = recorded(at, "reverse", 1)
    expect(at.step("liner-left")).to_have_attribute("data-state", "on")
    at.page.context.set_offline(True)
    at.page.wait_for_selector("#line[data-state=gone]")
    at.go("liner-right")
    at.all_off("liner-right", at.bag_of("WL-R2"))
    at.moved_on("liner-right")
    at.undo_last()
    answered(at.page, "Undone")
    at.page.context.set_offline(False)
    at.page.wait_for_selector("#line[data-state=good]")

    # Taken back before it was under way, or reversed where it was: either way it does not stand.
    wait_until(lambda: standing(at) == [], "nothing of the liners stands")
    off = [one for one in at.acts("remove") if one["request"].get("step", "").startswith("liner")]
    assert off[0]["request"]["step"] == "liner-left"
    assert undone["request"]["act"] == off[0]["key"]
    assert undone["request"]["reason"] == "wrong bag scanned"


def test_with_no_line_it_goes_on_and_what_waits_stands_at_its_step(opened_van: Floor) -> None:
    made_safe(opened_van)
    at = bench(opened_van)
    at.go("liner-left")
    at.page.context.set_offline(True)

    at.all_off("liner-left", at.bag_of("WL-L2"))
    at.moved_on("liner-left")
    at.go("liner-left")
    expect(at.step("liner-left").locator(".here")).to_contain_text("waiting to be sent")
    at.page.context.set_offline(False)

    expect(at.step("liner-left").locator(".here")).to_have_count(0)
    assert len(recorded(at, "remove", 2)) == 2


def test_a_refused_act_of_the_queue_is_put_right_by_the_next_one(opened_van: Floor) -> None:
    made_safe(opened_van)
    at = bench(opened_van)
    at.go("sill-left")
    at.page.context.set_offline(True)
    at.all_off("sill-left", at.bag_of("SC-L2"))
    at.page.wait_for_selector("#line[data-state=gone]")
    at.page.context.set_offline(False)
    refusal = at.page.locator("#refusal")
    expect(refusal).to_be_visible()

    refusal.get_by_text("Put it right").click()
    expect(at.step("sill-left")).to_be_visible()
    expect(at.step("sill-left").locator(".here")).to_contain_text("refused")
    at.otherwise("SC-L3", "missing")

    (missing,) = recorded(at, "missing", 1)
    assert missing["request"]["amends"]
    expect(at.step("sill-left").locator(".here")).to_have_count(0)


def test_a_badge_says_who_works_and_who_stands_by(opened_van: Floor) -> None:
    at = bench(opened_van)
    jorin, miro = badge(opened_van, "jorin"), badge(opened_van, "miro")
    at.page.reload()

    with at.tally.task("a hold with a second person, by badge"):
        at.tally.scan(jorin)
        at.tally.tap(at.step("identify").locator("form button.main"))
    at.moved_on("identify")
    at.tally.scan(miro)
    answered(at.page, "works here now")
    at.go("fence")
    at.caps_on("fence")

    (held,) = recorded(at, "hold", 1)
    assert held["request"]["witness"] == at.van.people["jorin"]
    assert held["by"] == at.van.people["tove"]
    (board, *_) = recorded(at, "put-on", 3)
    assert board["by"] == at.van.people["miro"]


def test_a_bag_is_stowed_by_the_scan_of_a_rack(opened_van: Floor) -> None:
    made_safe(opened_van, lifted=False)
    at = bench(opened_van)
    rack = new_tag(opened_van, "rack 2, shelf 3", use="rack")
    at.page.reload()
    at.go("plug-access")
    bag = at.bag_of("PA-02")

    at.all_off("plug-access", bag)
    at.moved_on("plug-access")
    with at.tally.task("a bag onto the rack"):
        at.tally.scan(rack)

    stowed = told(at, "stow")
    assert [one.replace("-", "") for one in stowed["tags"]] == [bag]
    assert stowed["at_tag"].replace("-", "") == rack
    assert at.tally.tasks["a bag onto the rack"].taps == 0


def test_a_hold_with_readings_and_one_that_is_over_its_limit(opened_van: Floor) -> None:
    made_safe(opened_van)
    at = bench(opened_van)
    at.go("shield-front")
    at.all_off("shield-front", at.bag_of("FS-01"))
    at.moved_on("shield-front")
    at.go("coolant-drain")
    at.tally.tap(at.step("coolant-drain").get_by_role("button", name="catch the coolant"))
    at.all_off("coolant-drain", at.bag_of("CD-01"))
    at.moved_on("coolant-drain")
    with at.tally.task("a hold with one reading"):
        at.hold("coolant-seen", readings={"Coolant let out": "9.2"})
    at.go("prove-dead")
    dead = at.step("prove-dead")
    for name in READINGS:
        dead.get_by_label(name).fill("400" if name == "HV+ to HV-" else READINGS[name])
    dead.locator("form button.main").click()

    refusal = at.page.locator("#refusal")
    expect(refusal).to_contain_text("Stop: this hold cannot be passed")
    expect(refusal.get_by_text("It is already done")).to_be_hidden()
    (drained,) = [one for one in at.acts("hold") if one["request"]["hold"] == "h-drained"]
    assert drained["request"]["values"][0]["value"] == "9.2"
    assert told(at, "apply")["what"] == "catch the coolant, measure it"


def test_without_a_line_list_keys_and_script(opened_van: Floor) -> None:
    made_safe(opened_van)
    at = bench(opened_van)
    first = at.shown

    at.page.keyboard.press("ArrowRight")
    wait_until(lambda: at.shown != first, "the next step is shown")
    at.page.keyboard.press("ArrowLeft")
    wait_until(lambda: at.shown == first, "the one before is shown")
    plain = opened_van.browser.new_context(
        storage_state=at.page.context.storage_state(), java_script_enabled=False
    )
    opened_van.contexts.append(plain)
    page = plain.new_page()
    page.goto(at.page.url)

    assert page.locator("section.step:visible").count() == 60
    assert page.locator("#step-nav").is_hidden()
