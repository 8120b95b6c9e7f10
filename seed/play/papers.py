"""The papers and files of the demonstration, fetched from the service as anybody would."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from seed.play.door import SignedIn


@dataclass(frozen=True, slots=True)
class Paper:
    """A file of the demonstration and where the service has it, `{job}` standing for the job."""

    name: str
    path: str


BEFORE_STRIPPING = (
    Paper("order.csv", "/jobs/{job}/order.csv"),
    Paper("order.pdf", "/jobs/{job}/order.pdf"),
)
BEFORE_REFIT = (
    Paper("tags.pdf", "/tags.pdf?job={job}"),
    Paper("refit-checklist.pdf", "/jobs/{job}/refit.pdf"),
)
BEFORE_PUTTING_RIGHT = (
    Paper("reconciliation-before.json", "/jobs/{job}/reconciliation"),
    Paper("reconciliation-before.pdf", "/jobs/{job}/reconciliation.pdf"),
)
AT_THE_END = (
    Paper("reconciliation-after.json", "/jobs/{job}/reconciliation"),
    Paper("release.pdf", "/jobs/{job}/release.pdf"),
    Paper("ledger.jsonl", "/jobs/{job}/ledger.jsonl"),
)
THE_LONG_WAY = (Paper("ledger-long-way.jsonl", "/jobs/{job}/ledger.jsonl"),)
ALL = (*BEFORE_STRIPPING, *BEFORE_REFIT, *BEFORE_PUTTING_RIGHT, *AT_THE_END, *THE_LONG_WAY)


def fetch(reader: SignedIn, job: str, papers: tuple[Paper, ...], out: Path) -> None:
    """Fetch papers of a job as they are at this moment."""
    for paper in papers:
        raw = reader.fetch(paper.path.format(job=job))
        target = out / paper.name
        target.write_bytes(_readable(json.loads(raw)) if paper.name.endswith(".json") else raw)


def _readable(document: Any) -> bytes:
    return (json.dumps(document, ensure_ascii=False, indent=1) + "\n").encode()
