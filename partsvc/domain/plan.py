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
from partsvc.domain.records import (
    AtMost,
    Between,
    Decimal,
    Id,
    Line,
    Name,
    Qualification,
    Quantity,
    Words,
)

Uses = Annotated[int, Between(1, 100)]
PerSet = Annotated[int, Between(1, 20)]
Angle = Annotated[int, Between(1, 720)]
Hours = Annotated[int, Between(1, 999)]
Minutes = Annotated[int, Between(1, 9999)]
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


class Equipment(StrEnum):
    """What is used to make safe and carries a date by which it is to be checked again."""

    INSTRUMENT = "instrument"
    GLOVES = "gloves"
    LIFT = "lift"


@dataclass(frozen=True, slots=True, kw_only=True)
class AcceptedNumber:
    """Another number that may stand where one is planned, and who says so.

    `covers` is how many planned pieces one such piece stands for. `comes_with` is set where it is
    not fitted for this line but comes along with another line's piece: a captive washer.
    """

    number: Name
    source: Line
    covers: PerSet = 1
    comes_with: Name = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StackItem:
    """One part of a set, with its own reuse rule: bolt, washer and spacer are three."""

    part: Name
    per_set: PerSet = 1
    rule: Rule = Rule.REUSE
    max_uses: Uses | None = None
    criterion: Line = ""
    accepts: tuple[AcceptedNumber, ...] = ()

    @property
    def numbers(self) -> tuple[str, ...]:
        """The numbers that are put in for this line: the planned one, then the accepted ones."""
        return (self.part, *(one.number for one in self.accepts if not one.comes_with))

    def meant_by(self, part: str) -> tuple[str, ...]:
        """What a person means who names a part: the planned number stands for the whole line."""
        return self.numbers if part == self.part else (part,)

    def covered_by(self, number: str) -> int:
        """How many pieces of this line one piece of that number stands for; 0 for a stranger."""
        if number == self.part:
            return 1
        return next((one.covers for one in self.accepts if one.number == number), 0)

    @property
    def rides(self) -> bool:
        """Whether pieces of this line may come along with those of another."""
        return any(one.comes_with for one in self.accepts)

    def along_with(self, pieces: Mapping[str, int]) -> int:
        """How many pieces of this line come along with these, put in for other lines."""
        return sum(one.covers * pieces.get(one.number, 0) for one in self.accepts if one.comes_with)


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
    """A spot, or a set of like spots: `sets` sets, each an ordered stack of parts.

    Where the count is `as_found` (shims), nobody can know it before: in a job's own plan `sets`
    is 0 until somebody has said how many there were. `on` is the position whose part is the
    removable carrier that this one lies on.
    """

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
    on: Id = ""
    as_found: bool = False

    @property
    def uncounted(self) -> bool:
        """Whether nobody has said yet how many there are."""
        return self.as_found and not self.sets

    def pieces(self) -> int:
        """How many single pieces belong here."""
        return self.sets * sum(item.per_set for item in self.stack)

    def item(self, part: str) -> StackItem | None:
        """The stack line that a part is put in for, planned or accepted, if it belongs here."""
        planned = (item for item in self.stack if item.part == part)
        accepted = (item for item in self.stack if part in item.numbers)
        return next(planned, None) or next(accepted, None)

    def lines_of(self, part: str) -> tuple[StackItem, ...]:
        """The stack lines that a piece of this number goes into, the planned one first."""
        found = [item for item in self.stack if part in item.numbers]
        return tuple(sorted(found, key=lambda item: item.part != part))

    def filled(self, pieces: Mapping[str, int]) -> Mapping[str, int]:
        """How far these pieces fill each line, by its planned part, in planned pieces.

        A number that two lines accept fills the first and then the other; what comes along with a
        piece (a captive washer) fills its own line beside it.
        """
        full = {item.part: 0 for item in self.stack}
        for number in sorted(pieces, key=lambda one: (len(self.lines_of(one)), one)):
            self._fill(full, number, pieces[number])
        return {item.part: full[item.part] + item.along_with(pieces) for item in self.stack}

    def _fill(self, full: dict[str, int], number: str, pieces: int) -> None:
        lines = self.lines_of(number)
        for item in lines:
            room = max(0, self.sets * item.per_set - full[item.part])
            covers = item.covered_by(number)
            taken = pieces if item is lines[-1] else min(pieces, -(-room // covers))
            full[item.part] += taken * covers
            pieces -= taken


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A value that a hold or a step asks for, in `unit`.

    At most `limit` when a limit is given (a voltage that must be gone), at least `at_least` when
    that is given (an isolation resistance). Both figures and their unit are the maker's.
    """

    name: Line
    unit: Name = ""
    limit: Decimal = ""
    at_least: Decimal = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """A stop until something is confirmed: dead, supported, drained, lowered and seen free.

    `when` both: passed once, it is good in both directions as long as it stands. How long that is:
    `valid_hours` from then, `until_shift_end`, `per_person` (each person who goes on working
    passes it for themselves), and until a step that names it in `lapses` is worked. It is not
    passed before `wait_minutes` have gone by since step `wait_after`. `equipment` is what is used
    for it, each with its number. Passing a `close_up` looks at the steps `beneath`; at all that
    must be back before this one if none is named.
    """

    id: Id
    title: Line
    when: Phase = Phase.STRIP
    readings: tuple[Reading, ...] = ()
    instrument: bool = False
    witness: bool = False
    high_voltage: bool = False
    qualified: Qualification = ""
    valid_hours: Hours | None = None
    until_shift_end: bool = False
    per_person: bool = False
    wait_minutes: Minutes | None = None
    wait_after: Id = ""
    equipment: tuple[Equipment, ...] = ()
    close_up: bool = False
    beneath: tuple[Id, ...] = ()

    def asked_in(self, phase: Phase) -> bool:
        """Whether it stands before work in this direction."""
        return self.when in (phase, Phase.BOTH)

    @property
    def uses(self) -> tuple[Equipment, ...]:
        """The kinds of equipment whose numbers it asks for."""
        wanted = {*self.equipment, *([Equipment.INSTRUMENT] if self.instrument else [])}
        return tuple(kind for kind in Equipment if kind in wanted)


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
    """One step of work, with what must come first and what it carries.

    Working it makes the holds in `lapses` lapse (lifted again, plug back in); a step that is worked
    both ways does so when it is put back. `energises`: doing it, or putting it back, brings voltage
    to where people may be working.
    """

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
    lapses: tuple[Id, ...] = ()
    energises: bool = False

    @property
    def high_voltage(self) -> bool:
        """Whether the step is high-voltage work, by its hazard or by a hold of its own."""
        return Hazard.HIGH_VOLTAGE in self.hazards or any(h.high_voltage for h in self.holds)


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
