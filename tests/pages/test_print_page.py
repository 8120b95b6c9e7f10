"""The print page: tags as PDF or by a printer, what waits, papers; a printer that is away."""

from __future__ import annotations

from desk_flows import codes_on, opened_pdf, program
from floor import DESK, PHONE, TABLET, Floor, wait_until
from playwright.sync_api import expect

AWAY = {"name": "bay 2", "address": "ipp://127.0.0.1:9/ipp/print", "stock": "single-70x50-300"}
# Between two tries it waits; while the printer is asked it is begun. Neither has left the house.
NOT_OUT_YET = ("waiting", "begun")


def test_a_printing_on_a_printer_that_is_away_waits_and_can_be_taken_back(
    stripped_van: Floor,
) -> None:
    van = stripped_van.van
    program(stripped_van, "jorin").make("/printers", AWAY)
    code = next(iter(van.bags.values())).replace("-", "")
    page = stripped_van.device("asha", size=TABLET)
    page.goto(stripped_van.url(f"/print/{van.job}?codes={code}"))

    expect(page.locator("[data-printer]")).to_contain_text("does not answer")
    # Two taps are one label: a label printed twice is two bags with one code.
    page.get_by_role("button", name="Print", exact=True).dblclick()
    row = page.locator("#printings .one")
    expect(row).to_contain_text("waits")
    expect(row).to_contain_text("on bay 2")
    (waiting,) = program(stripped_van, "asha").get("/printings")["printings"]
    assert waiting["tags"] == [code]
    assert waiting["stage"] in NOT_OUT_YET

    row.get_by_role("button", name="Do not print it").click()
    expect(page.locator("#printings .one")).to_contain_text("cancelled")
    page.get_by_role("button", name="Once more").click()
    expect(page.locator("#printings .one")).to_have_count(2)
    stages = [one["stage"] for one in program(stripped_van, "asha").get("/printings")["printings"]]
    assert stages[0] in NOT_OUT_YET
    assert stages[1:] == ["cancelled"]


def test_all_tags_of_the_job_come_as_pdf_from_the_first_free_label_on(opened_van: Floor) -> None:
    page = opened_van.device("tove", size=DESK)
    page.goto(opened_van.url(f"/print/{opened_van.van.job}"))
    tags = program(opened_van, "tove").get(f"/jobs/{opened_van.van.job}/tags")["tags"]

    page.fill("#start-at", "4")
    sheets = opened_pdf(page, "Tags (PDF)")

    assert codes_on(sheets) == [one["code"] for one in tags]


def test_blank_tags_are_made_and_printed_at_once(opened_van: Floor) -> None:
    page = opened_van.device("lio", size=PHONE)
    page.goto(opened_van.url(f"/print/{opened_van.van.job}"))

    page.locator("#new-tags > summary").click()
    page.fill("#blank-count", "3")
    page.get_by_role("button", name="Make blank tags").click()
    expect(page.locator("#which-tags input:checked")).to_have_count(3)
    shown = [one.get_attribute("value") for one in page.locator("#which-tags input:checked").all()]
    sheet = opened_pdf(page, "Tags (PDF)")

    assert codes_on(sheet) == [str(one).replace("-", "") for one in shown]


def test_every_paper_that_is_offered_is_there(stripped_van: Floor) -> None:
    page = stripped_van.device("tove", size=DESK)
    page.goto(stripped_van.url(f"/print/{stripped_van.van.job}"))

    papers = [link.get_attribute("href") for link in page.locator("ul.papers a").all()]
    found = [page.request.get(stripped_van.url(str(path))) for path in papers]

    assert [(one.status, one.body()[:5]) for one in found] == [(200, b"%PDF-")] * len(papers)
    assert opened_pdf(page, "Page to try these labels with").startswith(b"%PDF-")


def test_who_asks_for_no_tag_or_no_printer_is_told_what_to_do(stripped_van: Floor) -> None:
    program(stripped_van, "jorin").make("/printers", AWAY)
    page = stripped_van.device("tove", size=PHONE)
    page.goto(stripped_van.url(f"/print/{stripped_van.van.job}"))

    page.get_by_label("Those ticked here").check()
    page.get_by_role("button", name="Print", exact=True).click()

    expect(page.get_by_role("alert")).to_contain_text("Tick the tags that are to be printed.")
    wait_until(
        lambda: not program(stripped_van, "tove").get("/printings")["printings"], "nothing waits"
    )
