"""The published values of tests/published, one dictionary a row."""

import csv
from pathlib import Path

TABLES = Path(__file__).parent.parent / "published"


def rows(table, *, where=lambda row: True):
    with (TABLES / f"{table}.csv").open(encoding="utf-8", newline="") as lines:
        found = [row for row in csv.DictReader(lines) if where(row)]
    assert found, f"no such rows in {table}"
    return found
