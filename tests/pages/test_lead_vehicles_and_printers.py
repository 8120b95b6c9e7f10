"""Vehicles with odd numbers, printers tried and taken away, files that are large or faulty."""

from __future__ import annotations

import json
import re

import pytest
from floor import DESK, Floor, free_port
from playwright.sync_api import Page, expect


@pytest.fixture
def lead(opened_van: Floor) -> Page:
    """The lead in the office."""
    return opened_van.device("jorin", size=DESK)


def test_an_odd_vehicle_number_is_kept_and_said_to_be_odd(opened_van: Floor, lead: Page) -> None:
    lead.goto(opened_van.url("/lead/vehicles/new"))
    lead.fill("#f-vin", "XX0DEM0A7AB00OO77")
    lead.fill("#f-model", "Van with a worn plate")
    lead.get_by_role("button", name="Add", exact=True).click()

    expect(lead.get_by_role("heading", level=1)).to_contain_text("XX0DEM0A7AB00OO77")
    expect(lead.locator(".note").filter(has_text="O").first).to_be_visible()
    lead.fill("#f-plate", "NN 77")
    lead.get_by_role("button", name="Keep").click()
    expect(lead.locator("#f-plate")).to_have_value("NN 77")


def test_the_record_of_a_vehicle_lists_its_jobs(opened_van: Floor, lead: Page) -> None:
    lead.goto(opened_van.url("/lead/vehicles"))
    lead.get_by_role("link", name="Electric delivery van").click()

    expect(lead.locator("main")).to_contain_text("Battery pack out and in")


def test_a_printer_is_put_up_tried_changed_and_taken_away(opened_van: Floor, lead: Page) -> None:
    lead.goto(opened_van.url("/lead/printers/new"))
    lead.fill("#f-name", "bay 2")
    lead.fill("#f-address", "ipp://x")
    lead.get_by_role("button", name="Put it up").click()
    expect(lead.locator("#f-address-fault")).to_contain_text("8 to 200 characters")
    expect(lead.locator("#f-name")).to_have_value("bay 2")
    lead.fill("#f-address", f"ipp://127.0.0.1:{free_port()}/ipp/print")
    lead.get_by_role("button", name="Put it up").click()

    lead.get_by_role("button", name="Try it with the scale page").click()
    expect(lead.locator("#printings tbody tr").first).to_contain_text("scale page")
    lead.get_by_role("link", name="bay 2").click()
    lead.select_option("#f-format", "image/png")
    lead.get_by_role("button", name="Keep").click()
    lead.get_by_role("button", name="Try it with the scale page").click()
    expect(lead.get_by_role("alert")).to_contain_text("takes pictures")

    lead.get_by_text("Take it away", exact=True).first.click()
    lead.get_by_role("button", name="Take it away").click()
    expect(lead.locator(".cards")).to_contain_text("None is put up")
    expect(lead.locator("#printings tbody tr").first).to_contain_text("taken away")


def test_a_faulty_procedure_is_told_by_its_place_and_a_mended_one_previewed(
    opened_van: Floor, lead: Page
) -> None:
    plan = {
        "key": "tray", "title": "Tray off",
        "steps": [{"id": "s1", "number": 10, "title": "tray", "positions": [
            {"id": "T-1", "where": "rim", "sets": 4, "stack": [{"part": "NO-SUCH-PART"}]}]}],
    }  # fmt: skip

    def choose(text: str) -> None:
        sent = {"name": "tray.json", "mimeType": "application/json", "buffer": text.encode()}
        lead.set_input_files("#f-file", sent)
        lead.get_by_role("button", name="Look at it").click()

    lead.goto(opened_van.url("/lead/procedures/import"))
    choose(json.dumps(plan))
    expect(lead.locator("#seen")).to_contain_text("NO-SUCH-PART")
    expect(lead.locator("#seen")).to_contain_text("Nothing of it was taken in")
    lead.goto(opened_van.url("/lead/procedures"))
    expect(lead.locator(".cards")).not_to_contain_text("Tray off")

    lead.goto(opened_van.url("/lead/procedures/import"))
    choose(json.dumps(plan).replace("NO-SUCH-PART", "KF-1302"))
    expect(lead.locator("#seen")).to_contain_text("procedure tray: new")
    lead.get_by_role("button", name="Take it in").click()
    lead.get_by_role("link", name="Open a job on it").click()
    expect(lead.locator("#f-procedure")).to_have_value("tray")


def test_a_file_of_many_thousand_parts_travels_whole(opened_van: Floor, lead: Page) -> None:
    long = "that somebody exported with names as long as this one and longer"
    rows = "".join(f"MANY-{n:05d},Part {n} {long}\n" for n in range(6_000))
    sent = {"name": "many.csv", "mimeType": "text/csv", "buffer": f"number,name\n{rows}".encode()}
    assert len(sent["buffer"]) > 500_000
    lead.goto(opened_van.url("/lead/parts/import"))
    lead.set_input_files("#f-file", sent)  # type: ignore[arg-type]
    lead.get_by_role("button", name="Look at it").click()
    take = lead.get_by_role("button", name="Take it in")
    expect(take).to_be_visible(timeout=60_000)
    take.click(timeout=60_000)
    expect(lead.locator("#taken")).to_be_visible(timeout=60_000)

    lead.goto(opened_van.url("/lead/parts?words=many-05999"))

    expect(lead.locator("tbody tr")).to_have_count(1)


def test_who_keeps_the_parts_keeps_the_catalogue_and_nothing_else_here(opened_van: Floor) -> None:
    asha = opened_van.device("asha", size=DESK)
    asha.goto(opened_van.url("/lead/parts"))
    expect(asha.get_by_role("heading", level=1)).to_have_text("Catalogue")

    with asha.expect_download() as coming:
        asha.get_by_role("link", name="Give out as a table (CSV)").click()
    assert coming.value.suggested_filename == "catalogue.csv"
    answer = asha.goto(opened_van.url("/lead/people"))
    assert answer is not None
    assert answer.status == 403
    expect(asha.locator("main")).to_contain_text(re.compile("This is for: lead"))
