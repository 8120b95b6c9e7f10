"""The bench of the API tests: the same workshop, worked through requests."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from http_bench import HttpBench


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[HttpBench]:
    """A workshop with an application over it and everybody signed in."""
    opened = HttpBench.opened(tmp_path / "workshop")
    yield opened
    opened.ledger.service.database.close()
