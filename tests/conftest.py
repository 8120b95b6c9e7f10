"""The bench that tests work at: a small workshop of its own, in a folder of its own."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from ledger_bench import Bench


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    """A workshop with a catalogue, five people and a sheet of blank tags."""
    opened = Bench.opened(tmp_path / "workshop")
    yield opened
    opened.service.database.close()
