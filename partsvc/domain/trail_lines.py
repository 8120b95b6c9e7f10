"""What a trail is made of: its subject, the acts it is read from, its lines, where things are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from partsvc.domain.effects import Effect
from partsvc.domain.job_facts import JobFacts
from partsvc.domain.ledger import Entry


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """What a trail is of: one position, one bag or one part; of none, it tells every act."""

    position: str = ""
    bag: str = ""
    part: str = ""

    @property
    def name(self) -> str:
        """By what it is known."""
        return self.position or self.bag or self.part


@dataclass(frozen=True, slots=True, kw_only=True)
class ActTold:
    """An act as its own text has it, and by which act it was undone, if it was."""

    seq: int
    key: str
    kind: str
    by: str
    recorded_by: str
    supervised_by: str
    device: str
    done_at: str
    received_at: str
    step: str
    reverses: str
    undone_by: int
    entries: tuple[Entry, ...]
    effects: tuple[Effect, ...]
    said: Mapping[str, object]


@dataclass(frozen=True, slots=True, kw_only=True)
class TrailLine:
    """One act of a trail, in the words of the workshop.

    `late` is set when it reached the service long after it was done; `undone_by` and `undoes` are
    the numbers of acts; `anyway` is set when it was refused and done anyway.
    """

    seq: int
    key: str
    kind: str
    title: str
    at: str
    received_at: str
    late: bool
    by: str
    recorded_by: str
    supervised_by: str
    device: str
    step: str
    step_number: int
    words: tuple[str, ...]
    because: str
    note: str
    undone_by: int
    undoes: int
    anyway: bool
    bags: tuple[str, ...]
    photos: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class NowThere:
    """So many pieces, and where they are now."""

    quantity: int
    part: str
    called: str
    words: str
    bag: str
    position: str
    damaged: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Trail:
    """The whole trail of one position, bag or part, and where its pieces are now."""

    job: JobFacts
    kind: str
    name: str
    title: str
    step: str
    step_number: int
    zone: str
    now: tuple[NowThere, ...]
    lines: tuple[TrailLine, ...]
    more: bool = False
