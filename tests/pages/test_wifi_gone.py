"""The Wi-Fi is gone, and then the service too: what was shown as kept arrives once, in order.

All of it at a plain http address of the workshop's network, where the browser gives a page no
service worker, no locks and no `crypto.randomUUID`.
"""

from __future__ import annotations

import json
import os
import signal
import time
from datetime import datetime
from pathlib import Path
from typing import Any

from floor import CHROMIUM, SWITCHES, Floor, answered, sign_in, wait_until
from playwright.sync_api import BrowserContext, Page, expect

LAN = "bench.lan"


def bench(floor: Floor, login: str = "tove") -> Page:
    """A page of the van's bench, as a phone on the workshop's network has it."""
    page = floor.device(login, host=LAN)
    page.goto(floor.url(f"/bench/{floor.van.job}", host=LAN))
    page.wait_for_selector("#line[data-state=good]")
    assert page.evaluate("window.isSecureContext") is False
    return page


def give(page: Page, act: dict[str, Any], says: str) -> None:
    """A form of the page is tapped; answers when the page has shown it as kept or recorded."""
    page.evaluate(
        """([act, says]) => new Promise((done) => {
            const form = document.createElement("form");
            form.className = "act";
            form.dataset.act = act;
            form.dataset.says = says;
            form.append(document.createElement("button"));
            document.querySelector("main").append(form);
            form.addEventListener("partsvc:kept", () => { form.remove(); done(); });
            form.requestSubmit();
        })""",
        [json.dumps(act), says],
    )


def kept(page: Page) -> list[dict[str, Any]]:
    """What the device keeps, as the page's own scripts read it."""
    return page.evaluate(  # type: ignore[no-any-return]
        """async () => {
            const address = document.querySelector("script[src$='app.js']").src;
            const { all } = await import(address.replace("app.js", "keep.js"));
            return all();
        }"""
    )


def remark(n: int) -> dict[str, Any]:
    """An act that is told from all others by its words."""
    return {"kind": "remark", "words": f"remark number {n}"}


def remarks(floor: Floor) -> list[str]:
    """The words of all remarks in the ledger, in its order."""
    return [act["request"]["words"] for act in floor.acts(floor.van.job) if act["kind"] == "remark"]


def test_200_acts_kept_through_a_dead_service_and_a_reload_arrive_once_and_in_order(
    opened_van: Floor,
) -> None:
    page = bench(opened_van)
    for n in range(3):
        give(page, remark(n), "remark")
    wait_until(lambda: not kept(page), "the first ones are sent")

    page.context.set_offline(True)
    for n in range(3, 103):
        give(page, remark(n), "remark")
    assert "Kept on this device" in answered(page)
    opened_van.kill()
    for n in range(103, 203):
        give(page, remark(n), "remark")
    expect(page.locator("#line")).to_contain_text("200 kept")
    page.close()
    opened_van.serve()
    page = opened_van.contexts[0].new_page()
    opened_van.contexts[0].set_offline(False)
    page.goto(opened_van.url(f"/bench/{opened_van.van.job}", host=LAN))

    wait_until(lambda: len(remarks(opened_van)) >= 203, "all have arrived")
    assert remarks(opened_van) == [f"remark number {n}" for n in range(203)]
    assert kept(page) == []
    numbers = [act.get("device_seq") for act in opened_van.acts(opened_van.van.job)]
    of_this_device = [one for one in numbers if one is not None]
    assert of_this_device == sorted(set(of_this_device))


def test_the_service_dies_again_and_again_while_it_is_being_told(opened_van: Floor) -> None:
    page = bench(opened_van)
    page.context.set_offline(True)
    for n in range(200):
        give(page, remark(n), "remark")
    page.context.set_offline(False)

    deaths = 0
    for many in (20, 60, 110, 160):
        wait_until(lambda many=many: len(remarks(opened_van)) >= many, f"{many} have arrived")
        opened_van.kill()
        deaths += 1
        opened_van.serve()
    wait_until(lambda: not kept(page), "nothing waits any more")

    assert deaths == 4
    assert remarks(opened_van) == [f"remark number {n}" for n in range(200)]


def test_two_pages_of_one_device_send_each_act_once(opened_van: Floor) -> None:
    first = bench(opened_van)
    second = first.context.new_page()
    second.goto(first.url)
    second.wait_for_selector("#line[data-state=good]")

    first.context.set_offline(True)
    for n in range(40):
        give((first, second)[n % 2], remark(n), "remark")
    first.context.set_offline(False)
    wait_until(lambda: len(remarks(opened_van)) >= 40, "all have arrived")
    wait_until(lambda: not kept(first), "nothing waits any more")

    assert remarks(opened_van) == [f"remark number {n}" for n in range(40)]


def test_a_photo_taken_with_no_line_is_named_in_its_act(opened_van: Floor) -> None:
    page = bench(opened_van)
    page.context.set_offline(True)
    page.evaluate(
        """() => {
            const form = document.createElement("form");
            form.className = "act";
            form.id = "with-photo";
            form.dataset.act = JSON.stringify({kind: "remark", words: "a scratch"});
            form.dataset.says = "remark";
            form.innerHTML = '<input type="file" id="photo"><button>keep</button>';
            document.querySelector("main").append(form);
        }"""
    )
    picture = page.screenshot(type="jpeg")
    page.set_input_files(
        "#photo", files=[{"name": "scratch.jpg", "mimeType": "image/jpeg", "buffer": picture}]
    )
    page.evaluate("document.getElementById('with-photo').requestSubmit()")
    expect(page.locator("#line")).to_contain_text("1 kept")

    opened_van.kill()
    opened_van.serve()
    page.context.set_offline(False)
    wait_until(lambda: remarks(opened_van) == ["a scratch"], "the remark has arrived")

    last = next(act for act in opened_van.acts(opened_van.van.job) if act["kind"] == "remark")
    assert len(last["request"]["photos"]) == 1


def test_a_refused_act_waits_with_its_reason_and_what_builds_on_it_is_told_why(
    opened_van: Floor,
) -> None:
    van = opened_van.van
    page = bench(opened_van)
    page.context.set_offline(True)
    early = {"kind": "remove", "step": "shield-rear", "bag": van.bags[van.home["RS-01"]]}
    give(page, early, "Step 130: all off")
    give(page, remark(1), "remark")
    page.context.set_offline(False)

    refusal = page.locator("#refusal")
    expect(refusal).to_be_visible()
    expect(refusal).to_contain_text("Step 130: all off")
    assert remarks(opened_van) == ["remark number 1"]
    refusal.get_by_role("button", name="Not done: leave it").click()
    expect(page.locator("#line")).to_contain_text("1 refused")
    page.locator("#line").click()
    waiting = page.locator("#waiting")
    expect(waiting.locator(".why")).to_be_visible()
    waiting.get_by_role("button", name="It was not so: drop it").click()
    waiting.get_by_role("button", name="Close").click()
    wait_until(lambda: not kept(page), "nothing waits any more")

    assert opened_van.acts(van.job)[-1]["kind"] == "dismiss"


def test_signed_out_in_the_middle_nothing_is_lost(opened_van: Floor) -> None:
    page = bench(opened_van)
    page.context.clear_cookies()
    give(page, remark(0), "remark")

    expect(page.locator("#line")).to_contain_text("Sign in to send 1")
    page.locator("#line").click()
    page.fill("#login", "tove")
    page.fill("#password", "tove-demo-2030")
    page.click("form.plain button.main")

    wait_until(lambda: remarks(opened_van) == ["remark number 0"], "it was sent")


def test_the_clock_of_the_device_is_an_hour_off_and_the_record_is_right(opened_van: Floor) -> None:
    page = opened_van.device(host=LAN)
    page.clock.install(time=time.time() + 3600)
    page.goto(opened_van.url("/sign-in", host=LAN))
    page.fill("#login", "tove")
    page.fill("#password", "tove-demo-2030")
    page.click("form.plain button.main")
    page.goto(opened_van.url(f"/bench/{opened_van.van.job}", host=LAN))
    page.wait_for_selector("#line[data-state=good]")
    give(page, remark(0), "remark")
    wait_until(lambda: remarks(opened_van), "it was sent")

    act = next(act for act in opened_van.acts(opened_van.van.job) if act["kind"] == "remark")
    assert abs(_seconds(act["done_at"]) - _seconds(act["received_at"])) < 60


def _seconds(stamp: str) -> float:
    return datetime.fromisoformat(stamp).timestamp()


def test_the_battery_dies_and_what_was_shown_as_kept_is_there_when_it_is_charged(
    opened_van: Floor, tmp_path: Path
) -> None:
    """The browser is killed, not closed, right after the last act was shown as kept."""
    profile = tmp_path / "phone"

    def phone() -> BrowserContext:
        return opened_van.browser.browser_type.launch_persistent_context(
            profile, executable_path=CHROMIUM, args=SWITCHES
        )

    context = phone()
    page = context.pages[0]
    sign_in(page, opened_van.url(host=LAN), "tove")
    page.goto(opened_van.url(f"/bench/{opened_van.van.job}", host=LAN))
    page.wait_for_selector("#line[data-state=good]")
    context.set_offline(True)
    for n in range(25):
        give(page, remark(n), "remark")
    for process in _processes_of(profile):
        os.kill(process, signal.SIGKILL)
    wait_until(lambda: not _processes_of(profile), "the phone is off")

    charged = phone()
    # Whether the browser still knows who it was signed in as is not in our hands; the acts are.
    sign_in(charged.pages[0], opened_van.url(host=LAN), "tove")
    wait_until(lambda: len(remarks(opened_van)) >= 25, "all have arrived")

    assert remarks(opened_van) == [f"remark number {n}" for n in range(25)]
    charged.close()


def _processes_of(profile: Path) -> list[int]:
    """The browser's processes that work on a profile."""
    found = []
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                command = (entry / "cmdline").read_bytes()
            except (FileNotFoundError, ProcessLookupError):
                continue
            if f"--user-data-dir={profile}".encode() in command:
                found.append(int(entry.name))
    return found
