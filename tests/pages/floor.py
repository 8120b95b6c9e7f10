"""The floor that the pages are tried on: a real service in a process of its own, a real browser.

A stage of the invented van (opened, stripped, refitted) is played once and copied for each test.
"""

from __future__ import annotations

import json
import shutil
import signal
import socket
import sqlite3
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Page

from seed.play import people, van
from seed.play.bags import bags_in_the_story
from seed.play.door import Door, SignedIn
from seed.play.job import Played, open_van
from seed.play.loopback import running

PHONE = {"width": 360, "height": 740}
TABLET = {"width": 820, "height": 1180}
DESK = {"width": 1366, "height": 900}

# How fast a hand scanner types.
KEYS_APART_S = 0.004

CHROMIUM = "/usr/bin/chromium"
SWITCHES = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    # A name of the workshop's network: to the browser it is no more trusted than any other.
    "--host-resolver-rules=MAP bench.lan 127.0.0.1",
]


@dataclass(slots=True)
class StoryClock:
    """The service's clock while a stage is played."""

    at: datetime

    def __call__(self) -> datetime:
        """The time in the story."""
        return self.at


@dataclass(slots=True)
class Van:
    """What a test needs to know of the van: its job, its tags by their working name, people."""

    job: str
    bags: dict[str, str]
    home: dict[str, str]
    people: dict[str, str]


def play(folder: Path, stage: str) -> None:
    """Play the van up to a stage into an empty folder, and write down what a test must know."""
    start = datetime.now(UTC).replace(hour=6, minute=0, second=0, microsecond=0)
    clock = StoryClock(start - timedelta(days=1))
    with running(folder, clock) as (door, access):
        people.set_up(door, access)
        crew = people.signed_in(door)
        played = open_van(crew, clock.at, told=clock, homes=bags_in_the_story, vin=van.VIN)
        if stage in ("stripped", "refitted"):
            van.order_early(played)
            van.strip_and_supply(played)
            played.people = people.signed_in(door)
        if stage == "refitted":
            work = van.refit_with_mistakes(played, lambda hold, words: None)
            van.finish(played, work)
        _write_down(folder, played, crew)


def _write_down(folder: Path, played: Played, crew: dict[str, SignedIn]) -> None:
    told = {
        "job": played.job,
        "bags": played.bags,
        "home": dict(played.home),
        "people": {login: one.person for login, one in crew.items()},
    }
    (folder / "van.json").write_text(json.dumps(told), "utf-8")


@dataclass(slots=True)
class Floor:
    """A running service on a folder, and a browser to look at it."""

    folder: Path
    browser: Browser
    port: int = 0
    process: subprocess.Popen[bytes] | None = None
    tls: bool = False
    contexts: list[BrowserContext] = field(default_factory=list)

    @property
    def van(self) -> Van:
        """What is known of the van."""
        return Van(**json.loads((self.folder / "van.json").read_text("utf-8")))

    def url(self, path: str = "/", host: str = "127.0.0.1") -> str:
        """The address of a page."""
        return f"{'https' if self.tls else 'http'}://{host}:{self.port}{path}"

    def serve(self, *more: str) -> None:
        """Start the service, on the port it had before."""
        self.port = self.port or free_port()
        self.process = subprocess.Popen(
            [str(Path(sys.executable).parent / "partsvc"), "serve", "--folder", str(self.folder),
             "--port", str(self.port), *more],
            stdout=subprocess.DEVNULL,
            stderr=(self.folder.parent / "service.txt").open("ab"),
        )  # fmt: skip
        wait_until(lambda: answers(self.port), "the service answers")

    def kill(self) -> None:
        """The service dies in the middle of whatever it does."""
        if self.process is not None:
            self.process.send_signal(signal.SIGKILL)
            self.process.wait()
            self.process = None

    def device(
        self, login: str = "", *, size: dict[str, int] = PHONE, host: str = "127.0.0.1", **more: Any
    ) -> Page:
        """A page on a device of its own, signed in as somebody."""
        touch = size["width"] < 1000
        context = self.browser.new_context(
            viewport=size,
            has_touch=touch,
            locale="en-GB",
            **more,  # type: ignore[arg-type]
        )
        self.contexts.append(context)
        context.set_default_timeout(15_000)
        page = context.new_page()
        page.on("pageerror", lambda error: FAULTS.append(str(error)))
        if login:
            sign_in(page, self.url(host=host), login)
        return page

    def door(self) -> Door:
        """The same service as a program sees it."""
        return Door("127.0.0.1", self.port)

    def acts(self, job: str) -> list[dict[str, Any]]:
        """The whole ledger of a job, oldest first, as it lies in the file."""
        path = self.folder / "partsvc.sqlite3"
        with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as db:
            rows = db.execute("SELECT text FROM act WHERE account = ? ORDER BY seq", (job,))
            return [json.loads(text) for (text,) in rows]


# What went wrong inside any page of the test that runs; the fixture looks at the end.
FAULTS: list[str] = []


def sign_in(page: Page, url: str, login: str) -> None:
    """Somebody signs in through the page."""
    page.goto(url.rstrip("/") + "/sign-in")
    page.fill("#login", login)
    page.fill("#password", people.password(login))
    page.fill("#device", people.DEVICES.get(login, "office"))
    page.click("form.plain button.main")
    page.wait_for_selector("#line[data-state=good]")


def scan(page: Page, text: str) -> None:
    """A hand scanner: fast keystrokes into no particular field, then Enter.

    Each carries the time the scanner sent it at, however late a busy machine passes it on.
    """
    page.wait_for_selector("html[data-ready]")
    keyboard = page.context.new_cdp_session(page)
    began = time.time()
    for number, key in enumerate([*text, "Enter"]):
        typed = "\r" if key == "Enter" else key
        told: dict[str, Any] = {
            "key": key,
            "text": typed,
            "timestamp": began + number * KEYS_APART_S,
        }
        if key == "Enter":
            told["windowsVirtualKeyCode"] = 13
        keyboard.send("Input.dispatchKeyEvent", {"type": "keyDown", **told})
        keyboard.send("Input.dispatchKeyEvent", {"type": "keyUp", **told})
    keyboard.detach()


def answered(page: Page, words: str = "") -> str:
    """The answer that the page gives; waits until it says these words."""
    box = page.locator("#answer:not([hidden])")
    if words:
        box = box.filter(has_text=words)
    box.wait_for()
    return box.inner_text()


@contextmanager
def floor(folder: Path, browser: Browser, *switches: str, served: bool = True) -> Iterator[Floor]:
    """A service on a folder; at the end it is stopped, and no page may have had a fault."""
    FAULTS.clear()
    opened = Floor(folder, browser)
    if served:
        opened.serve(*switches)
    try:
        yield opened
    finally:
        for context in opened.contexts:
            context.close()
        opened.kill()
    assert FAULTS == []


def copied(stage: Path, folder: Path) -> Path:
    """A stage of the van to work on."""
    shutil.copytree(stage, folder)
    return folder


def free_port() -> int:
    """A port nobody listens on."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return int(free.getsockname()[1])


def answers(port: int) -> bool:
    """Whether somebody listens there."""
    with socket.socket() as line:
        line.settimeout(1)
        return line.connect_ex(("127.0.0.1", port)) == 0


def wait_until(true: Callable[[], object], what: str, *, seconds: float = 30) -> None:
    """Wait for something to become true; fails, naming it, when it does not."""
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, f"waited {seconds} s, and never: {what}"
        time.sleep(0.05)


def fetched(url: str) -> bytes:
    """What an address answers."""
    with urllib.request.urlopen(url, timeout=10) as answer:
        return bytes(answer.read())
