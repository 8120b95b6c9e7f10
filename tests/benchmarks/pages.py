"""How heavy the pages are, how soon they are seen on a bad line, how soon news is on them.

    .venv/bin/python tests/benchmarks/pages.py [--kbit 1600] [--ms 300]

The line is throttled by the browser itself (400 ms or so of round trip and some Mbit/s are what is
left of a workshop's Wi-Fi behind a steel door). Weight is what goes over the line, packed, on a
first visit with nothing kept, and again when files are kept.
"""

from __future__ import annotations

import sys
import tempfile
import time
from itertools import groupby
from pathlib import Path

import click
from playwright.sync_api import Page, sync_playwright

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parent / "pages"), str(HERE.parents[1])]

from floor import CHROMIUM, DESK, PHONE, SWITCHES, Floor, floor, play  # noqa: E402
from tour import STOPS, Stop  # noqa: E402

LIMIT_KB = 150
# Plain http in the workshop's network: no worker of the page's own stands between it and the line.
LAN = "bench.lan"


@click.command()
@click.option("--kbit", default=1600, help="How much the line carries a second.")
@click.option("--ms", default=300, help="How long an answer is under way.")
@click.argument("names", nargs=-1)
def main(kbit: int, ms: int, names: tuple[str, ...]) -> None:
    """Print a table of all pages, or of those named."""
    print(f"Line: {kbit} kbit/s, {ms} ms. Weight over the line in kB; first paint in ms.")
    print(f"{'page':22}{'first visit':>12}{'again':>8}{'first paint':>13}{'again':>8}")
    heaviest = 0.0
    soon: list[float] = []
    with sync_playwright() as playwright, tempfile.TemporaryDirectory() as folder:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=SWITCHES)
        wanted = [one for one in STOPS if not names or one.name in names]
        for stage, stops in groupby(sorted(wanted, key=lambda one: one.stage), lambda s: s.stage):
            data = Path(folder) / stage
            data.mkdir()
            play(data, stage)
            with floor(data, browser) as opened:
                devices: dict[str, Page] = {}
                for stop in stops:
                    if stop.login not in devices:
                        devices[stop.login] = opened.device(stop.login, size=PHONE, host=LAN)
                    weight = _measure(opened, devices[stop.login], stop, kbit, ms)
                    heaviest = max(heaviest, weight)
                if stage == "opened":
                    soon = _news(opened)
        browser.close()
    print(f"heaviest first visit: {heaviest:.0f} kB of {LIMIT_KB} kB")
    print("news of another device on an open page after: " + ", ".join(f"{s:.2f} s" for s in soon))


def _measure(opened: Floor, page: Page, stop: Stop, kbit: int, ms: int) -> float:
    line = page.context.new_cdp_session(page)
    line.send("Network.enable")
    line.send("Network.clearBrowserCache")
    line.send(
        "Network.emulateNetworkConditions",
        {"offline": False, "latency": ms, "downloadThroughput": kbit * 125,
         "uploadThroughput": kbit * 125},
    )  # fmt: skip
    weights: list[float] = []
    line.on("Network.loadingFinished", lambda event: weights.append(event["encodedDataLength"]))
    url = opened.url(stop.path(opened.van), host=LAN)
    told = []
    for _ in range(2):
        weights.clear()
        page.goto(url)
        page.wait_for_selector("html[data-ready]")
        told.append((sum(weights) / 1000, _first_paint(page)))
    (first, paint), (again, paint_again) = told
    print(f"{stop.name:22}{first:12.1f}{again:8.1f}{paint:13.0f}{paint_again:8.0f}", flush=True)
    line.detach()
    return first


def _first_paint(page: Page) -> float:
    return float(
        page.evaluate("performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? -1")
    )


def _news(opened: Floor, tries: int = 5) -> list[float]:
    """From the tap on one device until it stands on the other."""
    phone, desk = opened.device("tove"), opened.device("jorin", size=DESK)
    for page in (phone, desk):
        page.goto(opened.url(f"/bench/{opened.van.job}"))
        page.wait_for_selector("#line[data-state=good]")
    found = []
    for n in range(tries):
        before = desk.evaluate("document.body.dataset.seq")
        began = time.monotonic()
        phone.evaluate(
            """(n) => {
                const button = document.createElement("button");
                button.dataset.act = JSON.stringify({kind: "remark", words: `news ${n}`});
                button.dataset.says = "news";
                document.querySelector("main").append(button);
                button.click();
                button.remove();
            }""",
            n,
        )
        while desk.evaluate("document.body.dataset.seq") == before:
            time.sleep(0.01)
        found.append(time.monotonic() - began)
        time.sleep(0.3)
    return found


if __name__ == "__main__":
    main()
