"""The lead and the people: added, trained, badged, let go; who may not is told who may.

A form that is refused comes back as it was typed, with the fault beside its field.
"""

from __future__ import annotations

import re

import pytest
from floor import DESK, PHONE, Floor, sign_in
from playwright.sync_api import Page, expect


@pytest.fixture
def lead(opened_van: Floor) -> Page:
    """The lead in the office."""
    return opened_van.device("jorin", size=DESK)


def test_a_technician_is_told_who_may(opened_van: Floor) -> None:
    page = opened_van.device("tove")

    for path in ("/lead", "/lead/people", "/lead/keeping", "/lead/procedures/import"):
        answer = page.goto(opened_van.url(path))

        assert answer is not None
        assert answer.status == 403
        expect(page.locator("main")).to_contain_text("This is for: lead")


def test_somebody_new_signs_in_after_the_form_was_put_right(opened_van: Floor, lead: Page) -> None:
    lead.goto(opened_van.url("/lead/people/new"))
    lead.fill("#f-name", "Nell Arden")
    lead.fill("#f-login", "Nell Arden")
    lead.fill("#f-qualifications", "high-voltage")
    lead.fill("#f-password", "short")
    lead.get_by_role("button", name="Add", exact=True).click()

    expect(lead.get_by_role("alert")).to_contain_text("Nothing was changed yet.")
    login = lead.locator("#f-login")
    expect(login).to_have_attribute("aria-invalid", "true")
    expect(lead.locator("#f-login-fault")).to_contain_text("a sign-in name")
    assert "f-login-fault" in (login.get_attribute("aria-describedby") or "")
    expect(login).to_have_value("Nell Arden")
    expect(lead.locator("#f-name")).to_have_value("Nell Arden")
    expect(lead.locator("#f-qualifications")).to_have_value("high-voltage")
    expect(lead.locator("#f-password")).to_have_value("")
    expect(lead.locator("#f-password-fault")).to_contain_text("8 to 200 characters")

    lead.fill("#f-login", "nell")
    lead.fill("#f-password", "nell-demo-2030")
    lead.get_by_role("button", name="Add", exact=True).click()
    expect(lead.get_by_role("heading", level=1)).to_have_text("Nell Arden")
    lead.get_by_role("button", name="Make a badge").click()
    expect(lead.get_by_role("img", name="Badge")).to_be_visible()
    lead.get_by_text("is lost or torn").click()
    lead.get_by_role("button", name="It is good no longer").click()
    expect(lead.get_by_text("No badge yet.")).to_be_visible()

    sign_in(opened_van.device(), opened_van.url(), "nell")


def test_a_name_that_is_taken_is_told(opened_van: Floor, lead: Page) -> None:
    lead.goto(opened_van.url("/lead/people/new"))
    lead.fill("#f-name", "Another Tove")
    lead.fill("#f-login", "tove")
    lead.get_by_role("button", name="Add", exact=True).click()

    expect(lead.get_by_role("alert")).to_contain_text("The sign-in name tove is taken")
    expect(lead.locator("#f-name")).to_have_value("Another Tove")


def test_who_has_left_can_do_nothing_more_and_the_name_can_go(
    opened_van: Floor, lead: Page
) -> None:
    miro = opened_van.device("miro")
    lead.goto(opened_van.url(f"/lead/people/{opened_van.van.people['miro']}"))
    lead.get_by_role("button", name="Take the access away").click()

    expect(lead.get_by_text("has left")).to_be_visible()
    miro.goto(opened_van.url("/"))
    expect(miro).to_have_url(re.compile("/sign-in"))

    lead.get_by_text("Erase the name", exact=True).click()
    lead.get_by_role("button", name="Erase the name for good").click()
    expect(lead.get_by_role("heading", level=1)).to_have_text("name erased")
    assert "miro" not in lead.content()


def test_the_last_lead_cannot_lock_everybody_out(opened_van: Floor, lead: Page) -> None:
    lead.goto(opened_van.url("/lead/people"))
    lead.get_by_role("link", name="Workshop lead").click()
    lead.get_by_role("button", name="Take the access away").click()
    lead.goto(opened_van.url(f"/lead/people/{opened_van.van.people['jorin']}"))
    lead.uncheck("input[name=roles][value=lead]")
    lead.get_by_role("button", name="Keep", exact=True).click()

    expect(lead.get_by_role("alert")).to_contain_text("Say at least one role")
    lead.check("input[name=roles][value=technician]")
    lead.get_by_role("button", name="Keep", exact=True).click()
    expect(lead.get_by_role("alert")).to_contain_text("Nobody else is a lead")


def test_what_somebody_else_changed_meanwhile_stands_beside_what_was_typed(
    opened_van: Floor, lead: Page
) -> None:
    address = opened_van.url(f"/lead/people/{opened_van.van.people['tove']}")
    other = opened_van.device("jorin", size=PHONE)
    for page in (lead, other):
        page.goto(address)
    other.fill("#f-name", "Tove Rask-Lind")
    other.get_by_role("button", name="Keep", exact=True).click()
    expect(other.get_by_role("heading", level=1)).to_have_text("Tove Rask-Lind")

    lead.fill("#f-qualifications", "high-voltage")
    lead.get_by_role("button", name="Keep", exact=True).click()

    expect(lead.get_by_role("alert")).to_contain_text("Changed meanwhile")
    expect(lead.locator("#f-name-now")).to_contain_text("Tove Rask-Lind")
    expect(lead.locator("#f-qualifications")).to_have_value("high-voltage")
    lead.fill("#f-name", "Tove Rask-Lind")
    lead.get_by_role("button", name="Keep", exact=True).click()
    expect(lead.get_by_role("status").filter(has_text="kept")).to_be_visible()
    expect(lead.locator("#f-qualifications")).to_have_value("high-voltage")


def test_a_token_is_shown_once_and_works(opened_van: Floor, lead: Page) -> None:
    address = opened_van.url(f"/lead/people/{opened_van.van.people['asha']}")
    lead.goto(address)
    lead.get_by_role("button", name="Make a token").click()
    expect(lead.locator("#k-name-fault")).to_contain_text("Fill this in")
    lead.fill("#k-name", "stock system")
    lead.get_by_role("button", name="Make a token").click()
    token = lead.locator("#token .code").inner_text()

    status, _ = opened_van.door().ask("GET", "/session", token=token)

    assert status == 200
    lead.goto(address)
    assert token not in lead.content()
