"""A procedure as one flat table: which rows there are, and which columns each of them uses.

The column `what` says what a row is. A row belongs to the nearest row above it that it can belong
to: a stage to the position above, a position to the step above. `seed/templates/README.md` tells
the same to whoever fills the table in.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from partsvc.domain.cells import Cell

WHAT = "what"

#: The columns after `what`, in the order in which they are written.
COLUMNS: Mapping[str, Cell] = {
    "id": Cell.NAME,
    "number": Cell.WHOLE,
    "words": Cell.TEXT,
    "zone": Cell.TEXT,
    "side": Cell.TEXT,
    "when": Cell.CHOICE,
    "after": Cell.NAMES,
    "refit_after": Cell.NAMES,
    "hazards": Cell.CHOICES,
    "quantity": Cell.WHOLE,
    "part": Cell.NAME,
    "per_set": Cell.WHOLE,
    "rule": Cell.CHOICE,
    "max_uses": Cell.WHOLE,
    "criterion": Cell.TEXT,
    "loosen_only": Cell.FLAG,
    "record": Cell.CHOICE,
    "pattern": Cell.TEXT,
    "critical": Cell.FLAG,
    "as_found": Cell.FLAG,
    "on": Cell.NAME,
    "torque_nm": Cell.DECIMAL,
    "angle_deg": Cell.WHOLE,
    "source": Cell.TEXT,
    "amount": Cell.DECIMAL,
    "unit": Cell.TEXT,
    "limit": Cell.DECIMAL,
    "at_least": Cell.DECIMAL,
    "instrument": Cell.FLAG,
    "witness": Cell.FLAG,
    "high_voltage": Cell.FLAG,
    "qualified": Cell.NAME,
    "valid_hours": Cell.WHOLE,
    "until_shift_end": Cell.FLAG,
    "per_person": Cell.FLAG,
    "wait_minutes": Cell.WHOLE,
    "wait_after": Cell.NAME,
    "equipment": Cell.CHOICES,
    "close_up": Cell.FLAG,
    "beneath": Cell.NAMES,
    "lapses": Cell.NAMES,
    "energises": Cell.FLAG,
    "off_before": Cell.NAME,
    "assembly": Cell.TEXT,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class RowKind:
    """One kind of row: what it belongs to, the list it joins there, its columns and members.

    `member_of` maps a column to the member of the record that it fills.
    """

    what: str
    under: tuple[str, ...]
    joins: str
    member_of: Mapping[str, str] = field(default_factory=dict)

    def column_of(self) -> dict[str, str]:
        """The column that fills each member."""
        return {member: column for column, member in self.member_of.items()}


def _same(*names: str) -> dict[str, str]:
    """Columns that are called like the member they fill."""
    return {name: name for name in names}


#: The first part of a position may stand in the position's own row, in these columns.
STACK = _same("part", "per_set", "rule", "max_uses", "criterion")
_READING = {"words": "name", **_same("unit", "limit", "at_least")}

KINDS: tuple[RowKind, ...] = (
    RowKind(
        what="procedure",
        under=(),
        joins="",
        member_of={"id": "key", "words": "title", "assembly": "assembly"},
    ),
    RowKind(what="caution", under=("step", "procedure"), joins="cautions"),
    RowKind(
        what="step",
        under=("procedure",),
        joins="steps",
        member_of={
            "words": "title",
            "when": "phase",
            **_same("id", "number", "zone", "after", "refit_after", "hazards"),
            **_same("lapses", "energises"),
        },
    ),
    RowKind(
        what="application",
        under=("step",),
        joins="applications",
        member_of={"words": "what", **_same("amount", "unit", "when")},
    ),
    RowKind(what="reading", under=("step",), joins="readings", member_of=_READING),
    RowKind(
        what="hold",
        under=("step",),
        joins="holds",
        member_of={
            "words": "title",
            **_same("id", "when", "instrument", "witness", "high_voltage", "qualified"),
            **_same("valid_hours", "until_shift_end", "per_person", "wait_minutes", "wait_after"),
            **_same("equipment", "close_up", "beneath"),
        },
    ),
    RowKind(what="hold-reading", under=("hold",), joins="readings", member_of=_READING),
    RowKind(
        what="temporary",
        under=("step",),
        joins="temporaries",
        member_of=_same("id", "words", "quantity", "part", "off_before"),
    ),
    RowKind(
        what="position",
        under=("step",),
        joins="positions",
        member_of={
            "words": "where",
            "quantity": "sets",
            **_same("id", "side", "loosen_only", "record", "pattern", "critical", "on", "as_found"),
        },
    ),
    RowKind(what="stack", under=("position",), joins="stack", member_of=STACK),
    RowKind(
        what="accepts",
        under=("stack",),
        joins="accepts",
        member_of={"part": "number", **_same("source")},
    ),
    RowKind(
        what="stage",
        under=("position",),
        joins="stages",
        member_of=_same("id", "words", "torque_nm", "angle_deg", "source"),
    ),
)
KIND_OF: Mapping[str, RowKind] = {kind.what: kind for kind in KINDS}


def used_by(kind: RowKind) -> tuple[str, ...]:
    """The columns that a row of this kind uses, in the order of the table."""
    own = {**kind.member_of, **_beside(kind)}
    return tuple(column for column in COLUMNS if column in own)


def _beside(kind: RowKind) -> Mapping[str, str]:
    if kind.what == "position":
        return STACK
    return {"words": ""} if kind.what == "caution" else {}
