"""The fields that acts share, and the envelope every act is sent in.

The request records beside each act's function are the one description of its fields: validation,
the API document and the help are made from them. A kind may gain optional members, never lose or
change one, so that an act queued on a device long ago can still be sent.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.parts import Rule
from partsvc.domain.records import (
    AtMost,
    Between,
    Code,
    Decimal,
    Id,
    Key,
    Line,
    Name,
    PhotoHash,
    Quantity,
    Says,
    Time,
    Words,
)

Where = Annotated[Id, Says("the position, as named in the plan")]
StepId = Annotated[Id, Says("the step, as named in the plan")]
BagCode = Annotated[Code, Says("the tag of the bag, as scanned or typed")]
PartNumber = Annotated[Name, Says("the part's number in the catalogue")]
SomePart = Annotated[Name, Says("only this part of the stack; otherwise whole sets")]
Sets = Annotated[Quantity, Says("how many sets; all that are there if left out")]
Pieces = Annotated[Quantity, Says("how many pieces")]
SomePieces = Annotated[Quantity, Says("how many pieces; all that are there if left out")]
Lot = Annotated[Id, Says("where the pieces come from: a home position or an issue")]
Why = Annotated[Words, Says("the reason, in your own words")]


@dataclass(frozen=True, slots=True, kw_only=True)
class NewPosition:
    """A position nobody had planned: where it is, and how many pieces of what."""

    where: Line
    quantity: Quantity
    step: Annotated[Id | None, Says("the step it belongs to; a new one if left out")] = None
    step_title: Annotated[Line | None, Says("title of the new step")] = None
    zone: Line | None = None
    part: Annotated[Name | None, Says("leave out if not known: name it later")] = None
    words: Annotated[Line | None, Says("what the piece looks like, if it has no number yet")] = None
    rule: Rule = Rule.REUSE
    loosen_only: bool = False
    on: Annotated[Id | None, Says("the position of the removable carrier it lies on")] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Value:
    """One reading taken: a decimal as read, with its unit."""

    name: Line
    value: Decimal
    unit: Name | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AlreadyDone:
    """It was done before it was allowed; the reason stays with the finding."""

    reason: Why


@dataclass(frozen=True, slots=True, kw_only=True)
class Alone:
    """Nobody else was there for what otherwise takes two; the reason is printed large."""

    reason: Why


@dataclass(frozen=True, slots=True, kw_only=True)
class Envelope:
    """What every act carries beside its own fields."""

    key: Annotated[Key, Says("made by the sender, unique for ever; sending again is harmless")]
    by: Annotated[Id | None, Says("who did it; the person signed in if left out")] = None
    supervised_by: Annotated[
        Id | None, Says("who stood by: a technician or lead other than who did it")
    ] = None
    done_at: Annotated[Time | None, Says("when it was done, by the device's clock")] = None
    device_seq: Annotated[int | None, Between(0, 2**53 - 1), Says("the device's own order")] = None
    clock_offset_ms: Annotated[
        int | None, Between(-(2**40), 2**40), Says("service time minus device time, milliseconds")
    ] = None
    already_done: AlreadyDone | None = None
    alone: Annotated[Alone | None, Says("same-person work, only where the workshop permits it")] = (
        None
    )
    queued: Annotated[
        bool, Says("kept on the device and done before it could be sent; never lost when refused")
    ] = False
    amends: Annotated[Key | None, Says("key of the refused act that this one puts right")] = None
    note: Words | None = None
    photos: Annotated[tuple[PhotoHash, ...], AtMost(20), Says("photos, by their hash")] = ()
