"""The invented catalogues as files have them, ready to be sent."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

SEED = Path(__file__).parent.parent
_WHOLE_NUMBERS = frozenset({"length_mm", "pack_size"})


def parts_of(scenario: str) -> list[dict[str, Any]]:
    """The parts of a scenario, empty cells left out."""
    with (SEED / scenario / "catalogue.csv").open(encoding="utf-8", newline="") as lines:
        return [_filled_in(row) for row in csv.DictReader(lines)]


def _filled_in(row: dict[str, str]) -> dict[str, Any]:
    given = {name: text for name, text in row.items() if text}
    return {name: int(text) if name in _WHOLE_NUMBERS else text for name, text in given.items()}


def document(*names: str) -> Any:
    """One of the scenarios' documents."""
    return json.loads(SEED.joinpath(*names).read_text("utf-8"))
