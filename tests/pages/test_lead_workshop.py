"""The lead sets a workshop up in a browser: catalogue, procedure, a job, a printer, a copy.

Each form that is refused comes back as it was typed, with the fault beside its field.
"""

from __future__ import annotations

import re
import sqlite3
from pathlib import Path

import pytest
from floor import DESK, Floor, free_port
from playwright.sync_api import Page, expect

TEMPLATES = Path(__file__).parents[2] / "seed" / "templates"
CATALOGUE = (TEMPLATES / "catalogue.csv").read_text("utf-8-sig")


@pytest.fixture
def lead(opened_van: Floor) -> Page:
    """The lead in the office."""
    return opened_van.device("jorin", size=DESK)


def choose(page: Page, name: str, text: str) -> None:
    """Choose a file and have it looked at."""
    page.set_input_files("#f-file", {"name": name, "mimeType": "text/csv", "buffer": text.encode()})
    page.get_by_role("button", name="Look at it").click()


def take_in(floor: Floor, page: Page, what: str, name: str, text: str) -> None:
    """Take a whole file in."""
    page.goto(floor.url(f"/lead/{what}/import"))
    choose(page, name, text)
    page.get_by_role("button", name="Take it in").click()
    expect(page.locator("#taken")).to_be_visible()


def test_a_faulty_catalogue_is_told_by_row_and_column_and_nothing_of_it_is_taken(
    opened_van: Floor, lead: Page
) -> None:
    faulty = CATALOGUE.replace("M8,25,E10,flange,8.8,zinc,16.1", "M8,long,E10,flange,8.8,zinc,16.1")
    assert faulty != CATALOGUE
    lead.goto(opened_van.url("/lead/parts/import"))
    choose(lead, "catalogue.csv", faulty)

    row = lead.locator("#seen tbody tr").first
    expect(row).to_contain_text("row 2")
    expect(row).to_contain_text("length_mm")
    expect(row).to_contain_text("“long” is not a whole number")
    expect(lead.get_by_role("button", name="Take it in")).to_have_count(0)

    choose(lead, "catalogue.csv", CATALOGUE)
    expect(lead.locator("#seen")).to_contain_text("part EX-1010: new")
    before = opened_van.door().sign_in("jorin", "jorin-demo-2030", "office")
    assert all(one["number"] != "EX-1010" for one in before.get("/parts?limit=500")["parts"])

    lead.get_by_role("button", name="Take it in").click()
    expect(lead.locator("#taken")).to_contain_text("taken in")
    lead.goto(opened_van.url("/lead/parts?words=ex-1010"))
    expect(lead.locator("tbody tr")).to_have_count(1)

    lead.goto(opened_van.url("/lead/parts/import"))
    choose(lead, "catalogue.csv", CATALOGUE)
    expect(lead.locator("#seen")).to_contain_text("Nothing in it is new")


def test_no_file_and_an_empty_file_are_told_beside_the_field(opened_van: Floor, lead: Page) -> None:
    lead.goto(opened_van.url("/lead/parts/import"))
    lead.get_by_role("button", name="Look at it").click()
    expect(lead.locator("#f-file-fault")).to_contain_text("Choose a file")
    choose(lead, "empty.csv", "")
    expect(lead.locator("#f-file-fault")).to_contain_text("The file is empty")


def test_a_part_is_added_refused_and_changed(opened_van: Floor, lead: Page) -> None:
    lead.goto(opened_van.url("/lead/parts/new"))
    lead.fill("#f-number", "XN-1")
    lead.fill("#f-name", "Nut for trying")
    lead.select_option("#f-kind", "nut")
    lead.fill("#f-superseded_by", "XN-2")
    lead.get_by_role("button", name="Add", exact=True).click()
    expect(lead.get_by_role("alert")).to_contain_text("XN-2")
    expect(lead.locator("#f-kind")).to_have_value("nut")

    lead.fill("#f-superseded_by", "")
    lead.get_by_role("button", name="Add", exact=True).click()
    lead.get_by_role("link", name="XN-1").click()
    lead.fill("#f-thread", "M8")
    lead.get_by_role("button", name="Keep").click()
    expect(lead.get_by_role("status").filter(has_text="kept")).to_be_visible()
    expect(lead.locator("#f-thread")).to_have_value("M8")


def test_a_job_is_opened_on_a_procedure_just_taken_in_and_its_tags_wait_for_a_printer_that_is_away(
    opened_van: Floor, lead: Page
) -> None:
    take_in(opened_van, lead, "parts", "catalogue.csv", CATALOGUE)
    procedure = (TEMPLATES / "procedure.csv").read_text("utf-8-sig")
    lead.goto(opened_van.url("/lead/procedures/import"))
    choose(lead, "procedure.csv", procedure)
    expect(lead.locator("#seen")).to_contain_text("new")
    lead.get_by_role("button", name="Take it in").click()
    lead.get_by_role("link", name="Read revision 1").click()
    expect(lead.locator("article").first).to_be_visible()

    lead.goto(opened_van.url("/lead/printers/new"))
    lead.fill("#f-name", "bay printer")
    lead.fill("#f-address", f"ipp://127.0.0.1:{free_port()}/ipp/print")
    lead.get_by_role("button", name="Put it up").click()
    lead.get_by_role("link", name="How is it now?").click()
    expect(lead.locator("#now")).to_contain_text("it does not answer")

    lead.goto(opened_van.url("/lead/jobs/new"))
    lead.fill("#f-blank", "many")
    lead.fill("#f-needed_by", "2031-03-01")
    lead.get_by_role("button", name="Open the job").click()
    expect(lead.locator("#f-title-fault")).to_contain_text("Fill this in")
    expect(lead.locator("#f-needed_by")).to_have_value("2031-03-01")
    lead.fill("#f-title", "Coolant pump out and in")
    lead.get_by_role("button", name="Open the job").click()
    expect(lead.locator("#f-blank-fault")).to_contain_text("a whole number")
    expect(lead.locator("#f-blank")).to_have_value("many")
    lead.select_option("#f-vehicle", "new")
    lead.get_by_text("A new vehicle", exact=True).click()
    lead.fill("#f-vin", "XX0DEM0A7AB000777")
    lead.fill("#f-model", "Van for trying (invented)")
    lead.select_option("#f-procedure", index=1)
    lead.fill("#f-blank", "2")
    lead.select_option("#f-printer", label="bay printer")
    lead.get_by_role("button", name="Open the job").click()
    expect(lead.get_by_role("heading", level=1)).to_contain_text("Coolant pump out and in")
    expect(lead.locator("#tags-of-job")).to_contain_text("made for this job")

    sheet = lead.get_by_role("link", name="Its tags as a PDF").get_attribute("href")
    blank = lead.get_by_role("link", name="The blank tags as a PDF").get_attribute("href")
    for address in (sheet, blank):
        answer = lead.request.get(opened_van.url(str(address)))
        assert answer.body().startswith(b"%PDF")
    lead.goto(opened_van.url("/lead/printers"))
    expect(lead.locator("#printings tbody tr").first).to_contain_text("bay printer")
    lead.get_by_role("button", name="Do not print it").first.click()
    expect(lead.locator("#printings tbody tr").first).to_contain_text("cancelled")


def test_the_same_form_sent_twice_opens_one_job(opened_van: Floor, lead: Page) -> None:
    lead.goto(opened_van.url("/lead/jobs/new"))
    lead.fill("#f-title", "Once only")
    went_to = lead.evaluate(
        """async () => {
          const body = new URLSearchParams(new FormData(document.querySelector("form.plain")));
          const send = () => fetch(location.href, { method: "POST", body });
          return [(await send()).url, (await send()).url];
        }"""
    )

    assert went_to[0] == went_to[1]
    assert "/lead/jobs/j" in went_to[0]
    lead.goto(opened_van.url("/lead/jobs"))
    expect(lead.get_by_role("link", name="Once only")).to_have_count(1)


def test_a_technician_opens_a_job_from_the_first_page(opened_van: Floor) -> None:
    page = opened_van.device("tove")
    page.goto(opened_van.url("/"))
    page.get_by_role("link", name="Open a job").click()
    page.get_by_role("button", name="Open it").click()
    expect(page.locator("#f-title-fault")).to_contain_text("Fill this in")
    page.fill("#f-title", "Rattle under the seat")
    page.get_by_role("button", name="Open it").click()

    expect(page).to_have_url(re.compile("/bench/j"))
    expect(page.locator(".top .where")).to_contain_text("Rattle under the seat")


def test_a_safety_copy_is_made_downloaded_and_opens(opened_van: Floor, lead: Page) -> None:
    lead.goto(opened_van.url("/lead/keeping"))
    expect(lead.locator("#overdue")).to_contain_text("No safety copy")
    lead.get_by_role("button", name="Make a copy now").click()
    expect(lead.locator("#overdue")).to_have_count(0)

    with lead.expect_download() as coming:
        lead.get_by_role("link", name="partsvc-").click()

    with sqlite3.connect(coming.value.path()) as copy:
        acts = copy.execute("SELECT count(*) FROM act WHERE account = ?", (opened_van.van.job,))
        assert acts.fetchone()[0] == len(opened_van.acts(opened_van.van.job))
        assert copy.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
    copy.close()


def test_the_whole_database_is_checked_from_the_page(opened_van: Floor, lead: Page) -> None:
    lead.goto(opened_van.url("/lead/keeping"))
    lead.get_by_role("button", name="Check now").click()

    expect(lead.locator("#check")).to_contain_text("everything is in order")


def test_equipment_whose_check_is_past_says_so_in_words(opened_van: Floor, lead: Page) -> None:
    lead.goto(opened_van.url("/lead/equipment/new"))
    lead.fill("#f-number", "M-99")
    lead.fill("#f-words", "old meter")
    lead.get_by_role("button", name="Add", exact=True).click()
    expect(lead.locator("#f-good_until-fault")).to_contain_text("Fill this in")
    expect(lead.locator("#f-words")).to_have_value("old meter")
    lead.fill("#f-good_until", "2020-01-31")
    lead.get_by_role("button", name="Add", exact=True).click()

    row = lead.locator("tr").filter(has_text="M-99")
    expect(row).to_contain_text("past: not to be used")
    expect(row.locator("svg use")).to_have_attribute("href", re.compile("#cross$"))
    lead.goto(opened_van.url("/lead"))
    expect(lead.locator(".due")).to_contain_text("M-99")


def test_shifts_and_working_alone_are_settled_with_a_reason(opened_van: Floor, lead: Page) -> None:
    lead.goto(opened_van.url("/lead/equipment"))
    lead.fill("#sh-ends", "14:00 25:00")
    lead.locator("form[action='/lead/shifts'] button").click()
    expect(lead.locator("#sh-ends-fault")).to_contain_text("a time of day")
    expect(lead.locator("#sh-ends")).to_have_value("14:00 25:00")
    lead.fill("#sh-ends", "13:30 21:30")
    lead.locator("form[action='/lead/shifts'] button").click()
    expect(lead.locator("#sh-ends")).to_have_value("13:30 21:30")

    lead.select_option("#al-permitted", "yes")
    lead.locator("form[action='/lead/working-alone'] button").click()
    expect(lead.locator("#al-reason-fault")).to_contain_text("Fill this in")
    expect(lead.locator("#al-permitted")).to_have_value("yes")
    lead.fill("#al-reason", "one person on Saturdays")
    lead.locator("form[action='/lead/working-alone'] button").click()
    expect(lead.locator("main")).to_contain_text("“one person on Saturdays”")


def test_two_revisions_stand_side_by_side(opened_van: Floor, lead: Page) -> None:
    key = "ev-pack-out-and-in"
    before = lead.request.get(opened_van.url(f"/lead/procedures/{key}/export?form=json")).text()
    assert '"Key out, 12 V battery off"' in before
    after = before.replace('"Key out, 12 V battery off"', '"Key away, 12 V battery off"')
    take_in(opened_van, lead, "procedures", "changed.json", after)

    lead.goto(opened_van.url(f"/lead/procedures/{key}"))
    lead.get_by_role("link", name="what changed").click()

    row = lead.locator("tbody tr")
    expect(row).to_have_count(1)
    expect(row).to_contain_text("Key out, 12 V battery off")
    expect(row).to_contain_text("Key away, 12 V battery off")


def test_a_job_gets_another_title_and_is_kept_as_a_procedure(opened_van: Floor, lead: Page) -> None:
    job = opened_van.van.job
    lead.goto(opened_van.url(f"/lead/jobs/{job}"))
    lead.fill("#f-title", "")
    lead.get_by_role("button", name="Keep", exact=True).click()
    expect(lead.locator("#f-title-fault")).to_contain_text("Fill this in")
    lead.fill("#f-title", "Pack out and in, second try")
    lead.get_by_role("button", name="Keep", exact=True).click()
    expect(lead.get_by_role("heading", level=1)).to_contain_text("second try")

    lead.fill("#s-key", "not a key")
    lead.get_by_role("button", name="Keep it as a procedure").click()
    expect(lead.locator("#s-key-fault")).to_contain_text("an id")
    lead.fill("#s-key", "pack-as-learnt")
    lead.get_by_role("button", name="Keep it as a procedure").click()
    expect(lead).to_have_url(re.compile("/lead/procedures/pack-as-learnt"))
