"""What a hand scanner really sends: Shift before capitals, into whatever has the focus, with or
without Enter at the end."""

from __future__ import annotations

import pytest
from floor import Floor, wait_until
from playwright.sync_api import Page

FIELDS = """() => {
  const form = document.createElement("form");
  form.innerHTML = `<label>Words <input id="x-words" value="25"></label>
    <label>Password <input id="x-secret" type="password" value="secret"></label>
    <label>Who <select id="x-who"><option value=""></option><option>Anna</option>
      <option selected>Carl</option><option>5 others</option></select></label>`;
  document.querySelector("main").prepend(form);
  window.scans = [];
  document.addEventListener("partsvc:scan", (event) => window.scans.push(event.detail.text));
}"""
# Keystrokes with their own times: a scanner's are 2 ms apart, however busy the machine is.
SCAN = """([text, enter]) => {
  let at = performance.now();
  const target = document.activeElement ?? document.body;
  const press = (key) => {
    const event = new KeyboardEvent("keydown", {key, bubbles: true, cancelable: true});
    at += 2;
    Object.defineProperty(event, "timeStamp", {value: at});
    if (target.dispatchEvent(event) && key.length === 1 && "value" in target) {
      if (target.matches("select")) target.value = "Anna";
      else target.value += key;
    }
  };
  for (const key of text) {
    if (key !== key.toLowerCase()) press("Shift");
    press(key);
  }
  if (enter) press("Enter");
}"""


@pytest.fixture
def page(opened_van: Floor) -> Page:
    """The bench, with three fields of the test's own."""
    found = opened_van.device("tove")
    found.goto(opened_van.url(f"/bench/{opened_van.van.job}"))
    found.wait_for_selector("html[data-ready]")
    found.evaluate(FIELDS)
    return found


@pytest.mark.parametrize("enter", [True, False])
@pytest.mark.parametrize(
    ("field", "before"), [("", ""), ("#x-words", "25"), ("#x-secret", "secret"), ("#x-who", "Carl")]
)
def test_a_scan_is_heard_whole_and_leaves_the_field_as_it_was(
    opened_van: Floor, page: Page, field: str, before: str, enter: bool
) -> None:
    code = next(iter(opened_van.van.bags.values()))
    if field:
        page.focus(field)

    page.evaluate(SCAN, [code, enter])
    wait_until(lambda: page.evaluate("window.scans"), "the scan is heard")

    assert page.evaluate("window.scans") == [code]
    if field:
        assert page.input_value(field) == before


def test_what_a_person_types_fast_stays_where_it_was_typed(page: Page) -> None:
    page.focus("#x-words")
    page.evaluate(SCAN, ["screws and washers", False])
    page.wait_for_timeout(300)

    assert page.evaluate("window.scans") == []
    assert page.input_value("#x-words") == "25screws and washers"
