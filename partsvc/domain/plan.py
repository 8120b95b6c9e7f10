"""The plan of a job: steps, positions, stacks, holds, as a procedure revision states them.

These are records only; reading them from a file is `procedure_document`, changing them by what
happened on this vehicle is `job_plan`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from typing import Annotated

from partsvc.domain.parts import Rule
from partsvc.domain.records import AtMost, Between, Decimal, Id, Line, Name, Quantity, Words

Uses = Annotated[int, Between(1, 100)]
PerSet = Annotated[int, Between(1, 20)]
Angle = Annotated[int, Between(1, 720)]
Number = Annotated[int, Between(0, 999_999)]


class Phase(StrEnum):
    """When a step is worked: taking apart, putting back, or both ways."""

    BOTH = "both"
    STRIP = "strip"
    REFIT = "refit"


class Record(StrEnum):
    """What is written down when a position is secured."""

    NOTHING = "nothing"
    TICK = "tick"
    SETTING = "setting"
    VALUES = "values"


class Hazard(StrEnum):
    """A danger that a step carries; each has its usual cautions."""

    HIGH_VOLTAGE = "high-voltage"
    LIFTED = "lifted"
    HEAVY = "heavy"
    COOLANT = "coolant"


@dataclass(frozen=True, slots=True, kw_only=True)
class StackItem:
    """One part of a set, with its own reuse rule: bolt, washer and spacer are three."""

    part: Name
    per_set: PerSet = 1
    rule: Rule = Rule.REUSE
    max_uses: Uses | None = None
    criterion: Line = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One stage of securing: a torque, an angle, a lock or a tick.

    `torque_nm` is a decimal as given by the maker's document that `source` names.
    """

    id: Id
    words: Line
    torque_nm: Decimal = ""
    angle_deg: Angle | None = None
    source: Line = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Position:
    """A spot, or a set of like spots: `sets` sets, each an ordered stack of parts."""

    id: Id
    where: Line
    sets: Quantity
    stack: tuple[StackItem, ...]
    side: Line = ""
    loosen_only: bool = False
    record: Record = Record.NOTHING
    stages: tuple[Stage, ...] = ()
    pattern: Line = ""
    critical: bool = False

    def pieces(self) -> int:
        """How many single pieces belong here."""
        return self.sets * sum(item.per_set for item in self.stack)

    def planned(self, part: str) -> int:
        """How many pieces of one part belong here."""
        return self.sets * sum(item.per_set for item in self.stack if item.part == part)

    def item(self, part: str) -> StackItem | None:
        """The stack line of a part, if it belongs here at all."""
        return next((item for item in self.stack if item.part == part), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A value that a hold or a step asks for; at most `limit` in `unit` when a limit is given."""

    name: Line
    unit: Name = ""
    limit: Decimal = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """A stop until something is confirmed: dead, supported, drained, lowered and seen free."""

    id: Id
    title: Line
    when: Phase = Phase.STRIP
    readings: tuple[Reading, ...] = ()
    instrument: bool = False
    witness: bool = False
    high_voltage: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Temporary:
    """An item put on the vehicle for a while: plug, cap, guide stud, cover, support."""

    id: Id
    words: Line
    quantity: Quantity = 1
    part: Name = ""
    off_before: Id = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Application:
    """Sealant, threadlock, coolant: an amount and a tick, never in the ledger."""

    what: Line
    amount: Decimal = ""
    unit: Name = ""
    when: Phase = Phase.REFIT


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of work, with what must come first and what it carries."""

    id: Id
    number: Number
    title: Line
    zone: Line = ""
    phase: Phase = Phase.BOTH
    after: tuple[Id, ...] = ()
    refit_after: tuple[Id, ...] = ()
    hazards: tuple[Hazard, ...] = ()
    cautions: tuple[Words, ...] = ()
    holds: tuple[Hold, ...] = ()
    temporaries: tuple[Temporary, ...] = ()
    applications: tuple[Application, ...] = ()
    readings: tuple[Reading, ...] = ()
    positions: tuple[Position, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Plan:
    """The ordered steps of one procedure revision, or of one job."""

    key: Id
    title: Line
    assembly: Line = ""
    cautions: tuple[Words, ...] = ()
    steps: Annotated[tuple[Step, ...], AtMost(2000)] = ()

    @cached_property
    def step_of(self) -> Mapping[str, Step]:
        """Steps by their id."""
        return {step.id: step for step in self.steps}

    @cached_property
    def positions(self) -> Mapping[str, Position]:
        """Positions by their id."""
        return {position.id: position for _, position in self.each_position()}

    @cached_property
    def home_step(self) -> Mapping[str, Step]:
        """The step that each position belongs to."""
        return {position.id: step for step, position in self.each_position()}

    @cached_property
    def holds(self) -> Mapping[str, tuple[Step, Hold]]:
        """Holds by their id, with their step."""
        return {hold.id: (step, hold) for step in self.steps for hold in step.holds}

    def each_position(self) -> Iterator[tuple[Step, Position]]:
        """All positions in plan order."""
        for step in self.steps:
            for position in step.positions:
                yield step, position

    @cached_property
    def strip_after(self) -> Mapping[str, tuple[str, ...]]:
        """What must be off before each step is taken apart."""
        return {step.id: step.after for step in self.steps}

    @cached_property
    def refit_after(self) -> Mapping[str, tuple[str, ...]]:
        """What must be back before each step is put together, beyond the reverse of the strip."""
        return {step.id: step.refit_after for step in self.steps}


EMPTY = Plan(key="", title="No procedure: the record is made while stripping")
