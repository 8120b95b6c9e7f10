"""The lines of a vehicle's record: what was lost, broken, taken as it is, repaired, released."""

from __future__ import annotations

from dataclasses import dataclass

from partsvc.domain.ledger import Entry


@dataclass(frozen=True, slots=True, kw_only=True)
class JobHeading:
    """A job as its lines on the record name it."""

    id: str
    number: int
    title: str
    state: str
    opened_at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """Something a person recorded: who, when, and in which words."""

    by: str
    at: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundAgain:
    """Lost pieces that turned up: how many, when, where, and where they went."""

    quantity: int
    by: str
    at: str
    words: str
    went_to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LostOnRecord:
    """A loss: what and where last, who searched, who decided and why, what turned up since."""

    job: str
    job_number: int
    part: str
    called: str
    home: str
    last: str
    quantity: int
    still_lost: int
    reported: tuple[Told, ...]
    searches: tuple[Told, ...]
    decided: tuple[Told, ...]
    found: tuple[FoundAgain, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FragmentOnRecord:
    """The rest of a broken piece: where, and whether it was taken out or taken as it is."""

    job: str
    job_number: int
    part: str
    called: str
    where: str
    quantity: int
    still_there: int
    lost: bool
    by: str
    at: str
    taken_out: tuple[Told, ...]
    decided: tuple[Told, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LineOnRecord:
    """One thing taken as it is, put right, or found to be otherwise on this vehicle."""

    job: str
    job_number: int
    kind: str
    where: str
    words: str
    reason: str
    by: str
    at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseOnRecord:
    """A release, with the head its signer looked at."""

    job: str
    job_number: int
    head: str
    by: str
    at: str
    accepted: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LostMoved:
    """Pieces that were lost or turned up, as the ledger has it."""

    act: str
    seq: int
    entry: Entry
    by: str
    at: str
    words: str
