"""Every page for everybody (WCAG 2.2 A and AA): by a checker, narrow, and by keyboard alone.

The checker is axe-core, which knows nothing of this project; what it cannot see (reach by keyboard,
a visible focus, targets for gloves, no scrolling sideways on a narrow screen) is measured here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from floor import PHONE, Floor, copied, floor
from playwright.sync_api import Browser, Page
from tour import NO_PAGES, STOPS, Stop

from partsvc.app import open_app
from partsvc.config import Settings

# Success criterion 1.4.10 (Reflow): 320 CSS pixels are 1280 at 400 %.
NARROW = {"width": 320, "height": 640}
# Gloves at the bench: what the enhanced criterion 2.5.5 asks for. Elsewhere 2.5.8 (Minimum).
BENCH_PX = 44
DESK_PX = 24
AT_THE_BENCH = ("/bench", "/t/", "/pictures", "/sign-in", "/me", "/open")
RULES = {
    "runOnly": {
        "type": "tag",
        "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    }
}


@pytest.fixture(scope="module", params=["opened", "stripped", "refitted"])
def shop(
    request: pytest.FixtureRequest,
    tmp_path_factory: pytest.TempPathFactory,
    browser: Browser,
    stage: Callable[[str], Path],
) -> Iterator[tuple[str, Floor]]:
    """The van at a stage, looked at by many."""
    folder = tmp_path_factory.mktemp("access") / "data"
    with floor(copied(stage(request.param), folder), browser) as found:
        yield request.param, found


def test_the_tour_leaves_no_page_out(tmp_path: Path) -> None:
    app = open_app(Settings(folder=tmp_path))
    rules = {
        one.rule
        for one in app.url_map.iter_rules()
        if "GET" in (one.methods or ()) and not one.rule.startswith("/api/")
    }

    unvisited = rules - NO_PAGES - {stop.rule for stop in STOPS}

    assert unvisited <= ONLY_WITH_THINGS_OF_THEIR_OWN
    assert len({stop.name for stop in STOPS}) == len(STOPS)


# Pages of things that the van does not come with; they are looked at where these are made.
ONLY_WITH_THINGS_OF_THEIR_OWN = {"/lead/printers/<printer>", "/lead/vehicles/<vehicle>"}


def test_no_page_has_a_violation_and_each_can_be_used_narrow_and_by_keyboard(
    shop: tuple[str, Floor],
) -> None:
    name, opened = shop
    faults: list[str] = []
    devices: dict[str, Page] = {}
    for stop in STOPS:
        if stop.stage != name:
            continue
        if stop.login not in devices:
            devices[stop.login] = opened.device(stop.login, size=PHONE)
        page = devices[stop.login]
        page.set_viewport_size(PHONE)  # type: ignore[arg-type]
        answer = page.goto(opened.url(stop.path(opened.van)))
        page.wait_for_selector("html[data-ready]")
        if answer is None or not answer.ok:
            faults.append(f"{stop.name}: answered {answer.status if answer else 'nothing'}")
            continue
        faults += [f"{stop.name}: {one}" for one in _looked_at(page, stop)]
    assert not faults, "\n".join(faults)


def _looked_at(page: Page, stop: Stop) -> Iterator[str]:
    found = Axe().run(page, options=RULES).response["violations"]
    for one in found:
        where = "; ".join(str(node["target"][0]) for node in one["nodes"][:4])
        yield f"{one['id']} ({one['help']}) at {where}"
    least = BENCH_PX if stop.rule == "/" or stop.rule.startswith(AT_THE_BENCH) else DESK_PX
    yield from (f"smaller than {least} px: {one}" for one in _small_targets(page, least))
    yield from (f"not reached by keyboard: {one}" for one in _not_reached(page))
    page.set_viewport_size(NARROW)  # type: ignore[arg-type]
    width = page.evaluate("document.documentElement.scrollWidth")
    if width > NARROW["width"]:
        yield f"{width} px wide on a screen of {NARROW['width']}"


_TARGETS = """(least) => [...document.querySelectorAll(
    "button, a[href], input, select, textarea, summary")].filter((one) => {
  const box = one.getBoundingClientRect();
  if (!one.checkVisibility() || box.width === 0 || one.matches(".skip")) return false;
  // A link within a sentence is as high as its line; a tick is as large as its label.
  if (one.matches("a") && getComputedStyle(one).display === "inline") return false;
  const label = one.closest("label") ?? one;
  const target = label.getBoundingClientRect();
  return target.height < least - 0.5 || target.width < least - 0.5;
}).map((one) => one.outerHTML.slice(0, 120))"""


def _small_targets(page: Page, least: int) -> list[str]:
    return page.evaluate(_TARGETS, least)  # type: ignore[no-any-return]


_FOCUSABLE = """() => {
  const all = [...document.querySelectorAll(
    "button, a[href], input, select, textarea, summary, [tabindex='0']")];
  window.wanted = all.filter((one) => one.checkVisibility() && !one.disabled
    && one.type !== "hidden" && one.tabIndex >= 0
    && !(one.type === "radio" && !one.checked
         && all.some((other) => other.name === one.name && other.checked)));
  // Of radios without a choice the first (or last) is reached, the others by arrow keys.
  const radios = new Set();
  window.wanted = window.wanted.filter((one) => {
    if (one.type !== "radio" || one.checked) return true;
    if (radios.has(one.name)) return false;
    radios.add(one.name);
    return true;
  });
  window.reached = new Set();
  window.unseen = [];
  document.addEventListener("focusin", (event) => {
    window.reached.add(event.target);
    const style = getComputedStyle(event.target);
    const label = event.target.closest(".button");
    const ring = style.outlineStyle !== "none"
      || (label && getComputedStyle(label).outlineStyle !== "none");
    if (!ring && event.target !== document.body)
      window.unseen.push(event.target.outerHTML.slice(0, 100));
  });
  document.body.tabIndex = -1;
  document.body.focus();
  document.body.removeAttribute("tabindex");
  return window.wanted.length;
}"""
_LEFT = """() => [
  ...window.wanted.filter((one) => !window.reached.has(one) && one.checkVisibility())
    .map((one) => one.outerHTML.slice(0, 120)),
  ...window.unseen.map((one) => `no visible focus: ${one}`),
]"""


def _not_reached(page: Page) -> list[str]:
    """Tab from the top: each thing that can be used has the focus once, and shows it."""
    wanted = page.evaluate(_FOCUSABLE)
    for _ in range(wanted + 5):
        page.keyboard.press("Tab")
    return page.evaluate(_LEFT)  # type: ignore[no-any-return]
