"""How many scans and taps a task takes in the browser, counted while the tests do it.

A scan is a tag held before the reader. A tap is anything a finger does: a button, a place in a
list, a number typed into one field. Photos are counted by themselves: any way of working takes
them.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from floor import scan, wait_until
from playwright.sync_api import Locator, Page, TimeoutError


@dataclass(slots=True)
class Cost:
    """What one task took."""

    scans: int = 0
    taps: int = 0
    photos: int = 0


@dataclass(slots=True)
class Tally:
    """Scans, taps and photos by the task they were for; what is outside a task is not counted."""

    page: Page
    tasks: dict[str, Cost] = field(default_factory=dict)
    now: Cost = field(default_factory=Cost)

    @contextmanager
    def task(self, name: str) -> Iterator[Cost]:
        """What is done inside belongs to this task; done again, the costlier time counts."""
        before, self.now = self.now, Cost()
        yield self.now
        known = self.tasks.get(name, self.now)
        self.tasks[name] = max(known, self.now, key=lambda one: (one.scans + one.taps, one.photos))
        self.now = before

    def scan(self, code: str) -> None:
        """A tag is held before the reader, until it is heard: a busy machine types too slowly."""
        self.now.scans += 1
        heard = self.page.locator("#scan-last").filter(has_text=f"{code[:4]}-{code[-4:]}")
        wait_until(lambda: self._scanned(code, heard), f"{code} is heard")

    def _scanned(self, code: str, heard: Locator) -> bool:
        scan(self.page, code)
        try:
            heard.wait_for(timeout=3000)
        except TimeoutError:
            return False
        return True

    def tap(self, what: str | Locator) -> None:
        """A finger on something."""
        self.now.taps += 1
        (self.page.locator(what) if isinstance(what, str) else what).click()

    def fill(self, what: str | Locator, text: str) -> None:
        """A number or words typed into one field."""
        self.now.taps += 1
        (self.page.locator(what) if isinstance(what, str) else what).fill(text)

    def choose(self, what: str | Locator, value: str) -> None:
        """One of a list."""
        self.now.taps += 1
        (self.page.locator(what) if isinstance(what, str) else what).select_option(value)

    def photo(self, what: str, picture: bytes) -> None:
        """The camera opened at a field, and a picture taken."""
        self.now.photos += 1
        self.page.locator(what).set_input_files(
            {"name": "photo.jpg", "mimeType": "image/jpeg", "buffer": picture}
        )

    def rows(self) -> list[str]:
        """The table, a line for each task."""
        return [
            f"{name:<52}{one.scans:>6}{one.taps:>6}{one.photos:>8}"
            for name, one in self.tasks.items()
        ]


HEADING = f"{'task':<52}{'scans':>6}{'taps':>6}{'photos':>8}"
