"""The shop of the stories: real jobs, told through the API in the workshop's words."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from http_bench import HttpBench


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[HttpBench]:
    """A workshop with an application over it and everybody signed in."""
    opened = HttpBench.opened(tmp_path / "workshop")
    yield opened
    opened.ledger.service.database.close()
