"""Putting back at the bench, by another technician than took it apart: one scan, one tap."""

from __future__ import annotations

from floor import Floor, answered, scan
from playwright.sync_api import Locator, Page, expect
from recorded import recorded
from tally import Tally


def bench(floor: Floor, login: str = "miro", at: str = "") -> Page:
    """The refit bench on a phone."""
    page = floor.device(login)
    page.goto(floor.url(f"/bench/{floor.van.job}/refit{at}"))
    page.wait_for_selector("html[data-ready]")
    return page


def step_of(page: Page, step: str) -> Locator:
    """The part of the page that shows a step."""
    return page.locator(f"section[data-step={step}]")


def prove_dead(floor: Floor, page: Page) -> None:
    """The next shift proves for itself that it is dead."""
    hold = page.locator("[data-hold=h-dead]")
    for label, value in (
        ("HV+ to HV-", "0.3"),
        ("HV+ to chassis", "0.2"),
        ("HV- to chassis", "0.1"),
    ):
        hold.get_by_label(label).fill(value)
    hold.get_by_label("Number of the instrument").fill("M-07")
    hold.get_by_label("Number of the gloves").fill("G-02")
    hold.get_by_label("Instrument proved on a known source before").check()
    hold.get_by_label("and after the readings").check()
    hold.get_by_label("Second person present").select_option(floor.van.people["tove"])
    hold.get_by_role("button", name="Passed").click()
    recorded(floor, "hold", hold="h-dead", witness=floor.van.people["tove"], gloves="G-02")
    expect(page.locator("[data-hold=h-dead]")).to_have_attribute("data-stands", "yes")


def test_a_second_technician_puts_steps_back_by_scans(stripped_van: Floor) -> None:
    bags, people = stripped_van.van.bags, stripped_van.van.people
    page = bench(stripped_van)
    prove_dead(stripped_van, page)

    seal = step_of(page, "pack-seal")
    expect(seal).to_be_visible()
    seal.get_by_role("button", name="Looked at: all good").click()
    expect(seal.get_by_text("Look first")).to_have_count(0)
    scan(page, bags["pack-seal"])
    expect(seal.locator(".from.in-hand")).to_be_visible()
    seal.get_by_role("button", name="Fit and secure all 10").click()
    seal.get_by_role("button", name="Secured: 1 that lie loose").click()
    seal.get_by_role("button", name="Applied as stated").click()

    clips = recorded(stripped_van, "secure", step="pack-seal", bag=bags["pack-seal"])
    assert clips["by"] == people["miro"]
    recorded(stripped_van, "inspect", step="pack-seal", result="pass")
    recorded(stripped_van, "secure", position="PS-01")
    recorded(stripped_van, "apply", step="pack-seal")
    # All of it is done, and the next step is there by itself.
    expect(step_of(page, "hangers-right")).to_be_visible()


def test_a_scan_and_a_tap_and_the_setting_is_said_once(stripped_van: Floor) -> None:
    bags = stripped_van.van.bags
    page = bench(stripped_van, at="#step-hangers-right")
    prove_dead(stripped_van, page)
    tally = Tally(page)
    right = step_of(page, "hangers-right")
    with tally.task("a bag fitted and secured") as cost:
        tally.scan(bags["shelf: brackets"])
        tally.tap(right.get_by_role("button", name="Fit and secure all 1 from bag"))
    assert (cost.scans, cost.taps) == (1, 1)
    recorded(stripped_van, "secure", step="hangers-right", bag=bags["shelf: brackets"])
    bolts = right.locator("[data-position=HG-R2]")
    assert "22 N·m" in bolts.inner_text()
    assert "numbered from the centre outwards" in bolts.inner_text()
    with tally.task("critical bolts, the setting said for the first time") as cost:
        tally.scan(bags["hangers-left"])
        tally.fill(bolts.get_by_label("Tool"), "W-12")
        tally.fill(bolts.get_by_label("Set to"), "22 N m")
        tally.tap(bolts.get_by_role("button", name="Secured: 12 from bag"))
    assert (cost.scans, cost.taps) == (1, 3)
    said = recorded(stripped_van, "secure", position="HG-R2")["request"]
    assert (said["tool"], said["setting"], said["bag"]) == ("W-12", "22 N m", bags["hangers-left"])

    page.goto("about:blank")
    page.goto(stripped_van.url(f"/bench/{stripped_van.van.job}/refit#step-hangers-left"))
    left = step_of(page, "hangers-left").locator("[data-position=HG-L2]")
    with tally.task("critical bolts, the setting known to the device") as cost:
        tally.scan(bags["hangers-left"])
        tally.tap(left.get_by_role("button", name="Secured: 12 from bag"))

    assert (cost.scans, cost.taps) == (1, 1)
    again = recorded(stripped_van, "secure", position="HG-L2")["request"]
    assert (again["tool"], again["setting"]) == ("W-12", "22 N m")


def test_a_wrong_bag_is_refused_loudly_and_nothing_is_recorded(stripped_van: Floor) -> None:
    van = stripped_van.van
    page = bench(stripped_van)
    before = len(stripped_van.acts(van.job))

    scan(page, van.bags["sill-left"])

    told = answered(page, "Wrong bag")
    wanted = van.bags["pack-seal"]
    assert f"{wanted[:4]}-{wanted[4:]}" in told
    assert page.locator("#answer.stop").is_visible()
    expect(page.locator("#wrong .is")).to_contain_text("Push clip 8 mm")
    expect(step_of(page, "pack-seal")).to_be_visible()
    assert page.locator(".from.in-hand").count() == 0
    page.locator("#wrong").get_by_role("button", name="Open step").click()
    expect(step_of(page, "sill-left").locator(".from.in-hand")).to_be_visible()
    assert len(stripped_van.acts(van.job)) == before


def test_a_wrong_bag_is_refused_with_no_line_too(stripped_van: Floor) -> None:
    van = stripped_van.van
    page = bench(stripped_van)
    page.context.set_offline(True)

    scan(page, van.bags["sill-left"])
    assert "Wrong bag" in answered(page, "Wrong bag")

    scan(page, van.bags["pack-seal"])
    expect(step_of(page, "pack-seal").locator(".from.in-hand")).to_be_visible()


def test_what_is_in_already_is_recorded_from_the_wrong_bag_too(stripped_van: Floor) -> None:
    van = stripped_van.van
    page = bench(stripped_van)
    prove_dead(stripped_van, page)

    scan(page, van.bags["vent-front"])
    wrong = page.locator("#wrong")
    wrong.get_by_role("button", name="It is in already").click()
    wrong.get_by_label("Where it went in").select_option("PS-02")
    wrong.get_by_role("button", name="Record it").click()
    refusal = page.locator("#refusal")
    expect(refusal).to_be_visible()
    refusal.get_by_text("It is already done").click()
    refusal.get_by_text("found like this").click()

    act = recorded(stripped_van, "secure", position="PS-02")
    assert act["request"]["bag"] == van.bags["vent-front"]
    assert act["request"]["already_done"]["reason"] == "found like this"


def test_tightening_is_told_stage_by_stage(stripped_van: Floor) -> None:
    van = stripped_van.van
    page = bench(stripped_van, at="#step-bolts-left")
    bolts = step_of(page, "bolts-left").locator("[data-position=PB-L1]")
    scan(page, van.bags["bolts-left"])
    for number in range(1, 6):
        bolts.get_by_label(f"{number} N·m", exact=True).fill("60")
    bolts.get_by_role("button", name="Only so far").click()
    page.locator("#refusal").get_by_text("It is already done").click()
    page.locator("#refusal").get_by_text("found like this").click()
    first = recorded(stripped_van, "secure", position="PB-L1", stage="torque")["request"]
    assert [one["value"] for one in first["values"]] == ["60"] * 5

    expect(bolts.get_by_text("10 done")).to_be_visible()
    for number in range(1, 6):
        bolts.get_by_label(f"{number} N·m", exact=True).fill("90")
    bolts.get_by_role("button", name="second pass").click()
    page.locator("#refusal").get_by_text("It is already done").click()
    page.locator("#refusal").get_by_text("found like this").click()

    recorded(stripped_van, "secure", position="PB-L1", stage="angle")
    expect(bolts.get_by_text("secured 10")).to_be_visible()


def test_a_piece_that_breaks_is_told_in_two_taps_and_a_new_one_is_fetched(
    stripped_van: Floor,
) -> None:
    van = stripped_van.van
    page = bench(stripped_van)
    scan(page, van.bags["pack-seal"])
    place = step_of(page, "pack-seal").locator("[data-position=PS-02]")

    place.get_by_role("button", name="Something else").click()
    dialog = page.locator("#else")
    dialog.get_by_text("A piece broke").click()
    dialog.locator("#else-broke").get_by_label("Where it is").select_option(index=1)
    dialog.get_by_role("button", name="It broke").click()
    recorded(stripped_van, "broke", bag=van.bags["pack-seal"], part="KF-1306", quantity=1)

    place.get_by_role("button", name="Something else").click()
    dialog.get_by_text("New for old").click()
    scan(page, van.bags["old parts"])
    dialog.get_by_role("button", name="Exchanged one for one").click()

    act = recorded(stripped_van, "exchange", bag=van.bags["pack-seal"])["request"]
    assert act["old_parts"].replace("-", "") == van.bags["old parts"]
    expect(step_of(page, "pack-seal").locator(".from").get_by_text("new").nth(1)).to_be_visible()


def test_another_person_looks_once_more_at_what_is_critical(stripped_van: Floor) -> None:
    van = stripped_van.van
    page = bench(stripped_van)
    prove_dead(stripped_van, page)
    scan(page, van.bags["pack-seal"])
    step_of(page, "pack-seal").get_by_role("button", name="Secured: 1 from bag").click()
    recorded(stripped_van, "secure", position="PS-01")

    other = bench(stripped_van, "tove", "#step-pack-seal")
    other.get_by_role("button", name="Second look by another person: right").click()

    look = recorded(stripped_van, "confirm", position="PS-01")
    assert look["by"] == van.people["tove"]
    expect(other.get_by_role("button", name="Second look by another person")).to_have_count(0)


def test_a_link_with_a_bag_opens_its_step(stripped_van: Floor) -> None:
    van = stripped_van.van

    page = bench(stripped_van, at=f"?bag={van.bags['bolts-corner']}")

    expect(step_of(page, "bolts-corner").locator(".from.in-hand")).to_be_visible()
