"""Where in a table the parts of a document came from, so that faults name row and column."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from partsvc.domain.placed import Placed
from partsvc.domain.records import Fault
from partsvc.domain.tabular import place

_LAST_STEP = re.compile(r"(\.[^.\[\]]+|\[[0-9]+\]|^[^.\[\]]+)$")
_FIRST_NAME = re.compile(r"\.?([a-z_]*)")


@dataclass(frozen=True, slots=True)
class Origin:
    """The row that a record came from, and the columns of its members ("" is the record itself)."""

    row: int
    column_of: Mapping[str, str]


@dataclass(slots=True)
class RowPlaces:
    """Collected while a table is read: path of a record to its origin."""

    origins: dict[str, Origin] = field(default_factory=dict)

    def note(self, path: str, row: int, column_of: Mapping[str, str]) -> None:
        """The record at this path came from this row."""
        self.origins[path] = Origin(row, column_of)

    def told(self, path: str) -> str:
        """Row and column of a path; the row of what it lies in where it has none of its own."""
        inside = path
        while inside and inside not in self.origins:
            inside = _LAST_STEP.sub("", inside)
        origin = self.origins.get(inside)
        if origin is None:
            return "the file"
        found = _FIRST_NAME.match(path, len(inside))
        name = found[1] if found else ""
        return place(origin.row, origin.column_of.get(name, ""))

    def moved(self, faults: Iterable[Fault | Placed]) -> tuple[Fault, ...]:
        """Faults of a document as faults of the table it was read from."""
        return tuple(
            Fault(self.told(one.path if isinstance(one, Placed) else one.where), one.says)
            for one in faults
        )


def in_row_order(cells: Iterable[Fault], records: Iterable[Fault]) -> tuple[Fault, ...]:
    """All faults by row; of a cell that cannot be read nothing more is said."""
    unreadable = tuple(cells)
    said = {fault.where for fault in unreadable}
    others = (fault for fault in records if fault.where not in said)
    return tuple(sorted((*unreadable, *others), key=_row))


def _row(fault: Fault) -> int:
    found = re.search(r"[0-9]+", fault.where)
    return int(found[0]) if found else 0
