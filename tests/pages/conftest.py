"""A real browser, and the van at each of its stages."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from floor import CHROMIUM, SWITCHES, Floor, copied, floor, play
from playwright.sync_api import Browser, expect, sync_playwright

# What a test waits for may take its time on a busy machine; it is never judged by the clock.
expect.set_options(timeout=15_000)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One Chromium for all tests of a worker; each device is a context of its own."""
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=CHROMIUM, args=SWITCHES)
        yield opened
        opened.close()


@pytest.fixture(scope="session")
def stage(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Path]:
    """The folder of a stage of the van, played when it is first asked for."""
    played: dict[str, Path] = {}

    def found(name: str) -> Path:
        if name not in played:
            folder = tmp_path_factory.mktemp(name) / "data"
            folder.mkdir()
            play(folder, name)
            played[name] = folder
        return played[name]

    return found


@pytest.fixture
def opened_van(tmp_path: Path, browser: Browser, stage: Callable[[str], Path]) -> Iterator[Floor]:
    """The van has just come in: nothing is off."""
    with floor(copied(stage("opened"), tmp_path / "data"), browser) as found:
        yield found


@pytest.fixture
def stripped_van(tmp_path: Path, browser: Browser, stage: Callable[[str], Path]) -> Iterator[Floor]:
    """Everything is off, and what was ordered is there."""
    with floor(copied(stage("stripped"), tmp_path / "data"), browser) as found:
        yield found


@pytest.fixture
def refitted_van(tmp_path: Path, browser: Browser, stage: Callable[[str], Path]) -> Iterator[Floor]:
    """Everything is back, and nobody has released it."""
    with floor(copied(stage("refitted"), tmp_path / "data"), browser) as found:
        yield found
