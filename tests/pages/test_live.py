"""Two devices on one job: each sees what the other did, without reloading."""

from __future__ import annotations

import json
import re
import time
import urllib.error
import urllib.request

import pytest
from floor import DESK, Floor, sign_in
from playwright.sync_api import Page, expect

# How soon is measured in tests/benchmarks/pages.py; here it only must come by itself.
ON_A_BUSY_MACHINE_MS = 20_000


def both(floor: Floor, path: str) -> tuple[Page, Page]:
    """A technician's phone and a lead's desk, both with the same page open."""
    pages = floor.device("tove"), floor.device("jorin", size=DESK)
    for page in pages:
        page.goto(floor.url(path))
        page.wait_for_selector("#line[data-state=good]")
    return pages


def tell(page: Page, act: dict[str, str]) -> None:
    """Something is recorded on this page."""
    page.evaluate(
        """(act) => {
            const button = document.createElement("button");
            button.type = "button";
            button.dataset.act = act;
            button.dataset.says = "told";
            document.querySelector("main").append(button);
            button.click();
            button.remove();
        }""",
        json.dumps(act),
    )


def test_what_one_device_records_stands_on_the_other_without_reloading(opened_van: Floor) -> None:
    phone, desk = both(opened_van, f"/bench/{opened_van.van.job}")

    tell(phone, {"kind": "does-not-apply", "step": "liner-left", "reason": "not on this van"})

    expect(desk.locator("#how-far")).to_contain_text("/ 461", timeout=ON_A_BUSY_MACHINE_MS)
    tell(desk, {"kind": "does-not-apply", "step": "liner-right", "reason": "this one neither"})
    expect(phone.locator("#how-far")).to_contain_text("/ 452", timeout=ON_A_BUSY_MACHINE_MS)


def test_a_device_for_which_there_is_no_room_asks_instead(opened_van: Floor) -> None:
    phone, desk = both(opened_van, f"/bench/{opened_van.van.job}")
    desk.route("**/live?*", lambda route: route.fulfill(status=503, body="{}"))
    desk.reload()
    desk.wait_for_selector("#line[data-state=good]")

    tell(phone, {"kind": "does-not-apply", "step": "liner-left", "reason": "not on this van"})

    expect(desk.locator("#how-far")).to_contain_text("/ 461", timeout=ON_A_BUSY_MACHINE_MS)


def test_listeners_beyond_the_room_are_told_so_and_the_others_are_still_served(
    opened_van: Floor,
) -> None:
    page = opened_van.device()
    sign_in(page, opened_van.url(), "tove")
    cookie = "; ".join(f"{one['name']}={one['value']}" for one in page.context.cookies())
    open_lines = []
    full_house: list[int] = []
    for _ in range(40):
        asked = urllib.request.Request(opened_van.url("/live?job="), headers={"Cookie": cookie})
        try:
            open_lines.append(urllib.request.urlopen(asked, timeout=10))
        except urllib.error.HTTPError as full:
            full_house.append(full.code)

    began = time.monotonic()
    page.goto(opened_van.url(f"/bench/{opened_van.van.job}"))
    expect(page.locator("section.step").first).to_be_attached()

    assert len(full_house) >= 10
    assert set(full_house) == {503}
    assert len(open_lines) >= 20
    assert time.monotonic() - began < 30
    for line in open_lines:
        line.close()


@pytest.mark.parametrize("path", ["/live", "/live/now", "/scan?text=AAAA"])
def test_nobody_listens_without_signing_in(opened_van: Floor, path: str) -> None:
    page = opened_van.device()
    page.goto(opened_van.url(path))

    expect(page).to_have_url(re.compile("/sign-in"))
