"""The lead's pages for whoever cannot see or point: judged by axe-core, at 320 px, by keys."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe
from floor import DESK, Floor
from playwright.sync_api import expect

PAGES = (
    "/lead", "/lead/jobs", "/lead/jobs/new", "/lead/jobs/{job}", "/lead/people", "/lead/people/new",
    "/lead/people/{person}", "/lead/vehicles", "/lead/vehicles/new", "/lead/parts?words=m8",
    "/lead/parts/new", "/lead/parts/import", "/lead/procedures",
    "/lead/procedures/ev-pack-out-and-in", "/lead/printers", "/lead/printers/new",
    "/lead/equipment", "/lead/equipment/new", "/lead/keeping", "/open",
)  # fmt: skip
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}


def test_every_page_holds_the_rules_and_fits_a_narrow_screen(opened_van: Floor) -> None:
    page = opened_van.device("jorin", size={"width": 320, "height": 700})
    van = opened_van.van
    wrong: list[str] = []
    for address in PAGES:
        path = address.format(job=van.job, person=van.people["tove"])
        page.goto(opened_van.url(path))
        found = Axe().run(page, options=RULES).response["violations"]
        wrong += [f"{path}: {one['id']} {one['nodes'][0]['html']}" for one in found]
        if page.evaluate("document.documentElement.scrollWidth > innerWidth"):
            wrong.append(f"{path}: wider than the screen")

    assert wrong == []


def test_a_refused_form_holds_the_rules_too(opened_van: Floor) -> None:
    page = opened_van.device("jorin", size=DESK)
    page.goto(opened_van.url("/lead/people/new"))
    page.get_by_role("button", name="Add", exact=True).click()
    expect(page.get_by_role("alert")).to_be_visible()

    found = Axe().run(page, options=RULES).response["violations"]

    assert [(one["id"], one["nodes"][0]["html"]) for one in found] == []


@pytest.mark.parametrize("path", ["/lead/people/new", "/lead/printers/new"])
def test_a_form_is_filled_in_and_sent_by_keys_alone(opened_van: Floor, path: str) -> None:
    page = opened_van.device("jorin", size=DESK)
    page.goto(opened_van.url(path))
    page.locator("#f-name").focus()
    page.keyboard.type("By keys", delay=60)
    page.keyboard.press("Enter")

    fault = page.get_by_role("alert").get_by_role("link").first
    expect(fault).to_be_visible()
    fault.focus()
    page.keyboard.press("Enter")
    name = str(fault.get_attribute("href"))
    expect(page.locator(name)).to_be_focused()
    expect(page.locator("#f-name")).to_have_value("By keys")
