"""How many scans and taps the common tasks at the bench take, counted in a real browser.

    .venv/bin/python tests/benchmarks/taps.py

The flows are those of the tests in `tests/pages`; every click, field and scan in them is counted.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

TESTS = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(TESTS / "pages"), str(TESTS.parent)]

from floor import CHROMIUM, SWITCHES, Floor, floor, play  # noqa: E402
from playwright.sync_api import sync_playwright  # noqa: E402
from strip_flows import (  # noqa: E402
    Bench,
    a_clip_breaks,
    a_group,
    bare_job,
    bench,
    new_tag,
    one_is_missing,
    strip_to_the_lift,
    strip_underneath,
)
from tally import HEADING, Tally  # noqa: E402


def taking_apart(van: Floor) -> Tally:
    """The van made safe and its covers off, with what goes wrong on the way."""
    rack = new_tag(van, "rack 2, shelf 3", use="rack")
    at = bench(van)
    strip_to_the_lift(at)
    strip_underneath(at, "liner-left")
    with at.tally.task("a bag onto the rack"):
        at.tally.scan(rack)
    at.go("liner-right")
    a_clip_breaks(at)
    at.go("sill-right")
    one_is_missing(at)
    with at.tally.task("the last act undone"):
        at.undo_last()
    return at.tally


def without_a_list(van: Floor, tally: Tally) -> Tally:
    """Three groups of pieces on a job that nobody wrote a procedure for."""
    known = van.van
    known.job = bare_job(van)
    page = van.device("miro")
    page.goto(van.url(f"/bench/{known.job}"))
    page.wait_for_selector("#step-nav:visible")
    at = Bench(van, known, page, Tally(page, tally.tasks))
    for n, count in enumerate((6, 3, 4), start=1):
        a_group(at, count, new_tag(van))
        page.get_by_role("heading", name=f"Group {n}").wait_for()
    return at.tally


def main() -> None:
    """Play the van until it has come in, do the tasks, print what they took."""
    with sync_playwright() as playwright, tempfile.TemporaryDirectory() as folder:
        data = Path(folder) / "data"
        data.mkdir()
        play(data, "opened")
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=SWITCHES)
        with floor(data, browser) as van:
            done = without_a_list(van, taking_apart(van))
    print("\n".join([HEADING, *done.rows()]))


if __name__ == "__main__":
    main()
