"""Takes the pictures of every page that the README shows: phone, tablet and desk side by side.

    .venv/bin/python tests/pages/take_pictures.py [NAME …]

They lie in `tests/pages/pictures`, one for each stop of the tour, with an index.
"""

from __future__ import annotations

import sys
import tempfile
from io import BytesIO
from itertools import groupby
from pathlib import Path

from PIL import Image
from playwright.sync_api import Page, sync_playwright

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE), str(HERE.parents[1])]

from floor import CHROMIUM, DESK, PHONE, SWITCHES, TABLET, Floor, floor, play  # noqa: E402
from tour import STOPS, Stop  # noqa: E402

PICTURES = HERE / "pictures"
HEIGHT = 740
BETWEEN = 16
SIZES = (PHONE, TABLET, DESK)


def main(names: list[str]) -> None:
    """Take them all, or only those named."""
    PICTURES.mkdir(exist_ok=True)
    wanted = [stop for stop in STOPS if not names or stop.name in names]
    with sync_playwright() as playwright, tempfile.TemporaryDirectory() as folder:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=SWITCHES)
        in_order = sorted(wanted, key=lambda stop: (stop.stage, stop.login))
        for stage, stops in groupby(in_order, key=lambda stop: stop.stage):
            data = Path(folder) / stage
            data.mkdir()
            play(data, stage)
            with floor(data, browser) as opened:
                for login, of_one in groupby(stops, key=lambda stop: stop.login):
                    _of_one_person(opened, login, list(of_one))
        browser.close()
    _index()


def _of_one_person(opened: Floor, login: str, stops: list[Stop]) -> None:
    pages = [opened.device(login, size=size) for size in SIZES]
    for stop in stops:
        path = PICTURES / f"{stop.name}.webp"
        _side_by_side([_taken(page, opened.url(stop.path(opened.van))) for page in pages], path)
        print(stop.name)
    for page in pages:
        page.context.close()
    opened.contexts.clear()


def _taken(page: Page, url: str) -> Image.Image:
    page.goto(url)
    page.wait_for_selector("html[data-ready]")
    page.wait_for_timeout(300)
    return Image.open(BytesIO(page.screenshot()))


def _side_by_side(pictures: list[Image.Image], path: Path) -> None:
    """One picture of three, all of one height."""
    scaled = [one.resize((one.width * HEIGHT // one.height, HEIGHT)) for one in pictures]
    width = sum(one.width for one in scaled) + BETWEEN * (len(scaled) - 1)
    sheet = Image.new("RGB", (width, HEIGHT), "#888888")
    at = 0
    for one in scaled:
        sheet.paste(one.convert("RGB"), (at, 0))
        at += one.width + BETWEEN
    sheet.save(path, "WEBP", quality=72, method=6)


def _index() -> None:
    lines = [
        "# Every page, on a phone, a tablet and at a desk",
        "",
        "Taken by `.venv/bin/python tests/pages/take_pictures.py` from the invented van.",
        "",
    ]
    for stop in STOPS:
        lines += [f"## {stop.name}", "", f"`{stop.rule}`", "", f"![{stop.name}]({stop.name}.webp)"]
        lines.append("")
    (PICTURES / "README.md").write_text("\n".join(lines), "utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
