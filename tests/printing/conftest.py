"""A workshop with tags, and a room with a real printer."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from printer_room import PrinterRoom, printer_room


@pytest.fixture
def room(tmp_path: Path) -> Iterator[PrinterRoom]:
    """A real printer program, not switched on yet."""
    with printer_room(tmp_path / "room") as opened:
        yield opened
