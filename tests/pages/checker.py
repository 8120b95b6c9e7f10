"""What a checker does at the pages, and what others do meanwhile, for the tests of the check."""

from __future__ import annotations

import sqlite3
import uuid
from contextlib import closing
from datetime import UTC, datetime
from typing import Any

from floor import Floor, answered
from playwright.sync_api import Locator, Page, expect

from seed.play import people
from seed.play.door import Answer

# Other tests may run beside these: what is waited for is waited for as long as any tap is.
expect.set_options(timeout=15_000)

QUESTIONS = ("vehicle_searched", "bay_searched", "panels_back", "tools_complete")


def act(floor: Floor, login: str, kind: str, **members: Any) -> Answer:
    """Somebody else records an act, by a program of their own."""
    signed = floor.door().sign_in(
        login, people.password(login), people.DEVICES.get(login, "office")
    )
    said = {"key": str(uuid.uuid4()), "done_at": datetime.now(UTC).isoformat(), "kind": kind}
    return signed.post(f"/jobs/{floor.van.job}/acts", said | members)


def recorded(floor: Floor, login: str, kind: str, **members: Any) -> str:
    """The same, and it must be taken; answers its key."""
    answer = act(floor, login, kind, **members)
    assert answer.status == 201, answer.body
    return str(answer.body["key"])


def hashes(floor: Floor) -> list[str]:
    """The hash of each act of the job, oldest first: the last one is its head."""
    path = floor.folder / "partsvc.sqlite3"
    with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as db:
        rows = db.execute("SELECT hash FROM act WHERE account = ? ORDER BY seq", (floor.van.job,))
        return [found for (found,) in rows]


def look_at(floor: Floor, page: Page, path: str = "") -> None:
    """A page of the check is opened, and its scripts are there."""
    page.goto(floor.url(f"/check/{floor.van.job}{path}"))
    page.wait_for_selector("html[data-ready]")


def finding(page: Page, kind: str, place: str = "") -> Locator:
    """The card of a finding."""
    named = f'[data-kind="{kind}"]' + (f'[data-place="{place}"]' if place else "")
    return page.locator(f"article.finding{named}")


def open_deed(card: Locator, word: str) -> Locator:
    """One tap opens the form; answers it."""
    card.page.wait_for_selector("html[data-ready]")
    card.locator("summary", has_text=word).click()
    form = card.locator("details[open] form")
    expect(form).to_be_visible()
    return form


def take_as_it_is(page: Page, card: Locator, reason: str) -> None:
    """The checker takes a finding as it stands; it goes from the page."""
    anchor = card.get_attribute("id")
    form = open_deed(card, "Take as it is")
    form.locator("textarea").fill(reason)
    form.get_by_role("button", name="Take it as it is").click()
    answered(page, "Taken as it is")
    expect(page.locator(f"article#{anchor}")).to_have_count(0)


def take_all(floor: Floor, page: Page) -> None:
    """The checker takes everything that is open, each with a reason."""
    look_at(floor, page)
    cards = page.locator("article.finding")
    while cards.count():
        take_as_it_is(page, cards.first, "looked at with a lamp, tightened by hand, right")


def line(page: Page, name: str) -> Locator:
    """One of the two lines."""
    return page.locator(f'[data-line="{name}"]')


def answer_and_release(page: Page) -> None:
    """The questions answered, the old parts thrown out, and one tap."""
    form = page.locator("form#release")
    form.wait_for()
    page.wait_for_selector("html[data-ready]")
    for question in QUESTIONS:
        form.locator(f"[name={question}]").check()
    form.get_by_label("thrown away now").check()
    form.get_by_role("button", name="Release", exact=True).click()
