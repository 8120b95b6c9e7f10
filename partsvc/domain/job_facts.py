"""The head of every list and paper of a job: which job, which vehicle, as of which act."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class JobFacts:
    """What names a job on screens and papers; `head` is the chain's head the view was made at."""

    id: str
    number: int
    title: str
    vin: str = ""
    model: str = ""
    procedure: str = ""
    revision: int = 0
    needed_by: str = ""
    state: str = "open"
    head: str = ""
    head_seq: int = 0
    opened_at: str = ""
    takes_over: int = 0
