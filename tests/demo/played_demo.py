"""The demonstration as a run of it left it behind: files, and what was said."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any


@dataclass(frozen=True)
class Played:
    """What a run left behind, and what it said."""

    out: Path
    data: Path
    said: tuple[str, ...]

    def document(self, name: str) -> Any:
        return json.loads((self.out / name).read_text("utf-8"))

    @cached_property
    def acts(self) -> list[dict[str, Any]]:
        return self.ledger("ledger.jsonl")

    def ledger(self, name: str) -> list[dict[str, Any]]:
        lines = (self.out / name).read_text("utf-8").splitlines()
        return [json.loads(json.loads(line)["text"]) for line in lines[1:-1]]

    def told(self, title: str) -> str:
        """What is said of something that did not go as planned."""
        (line,) = [one for one in self.said if one.startswith(f"  {title}: ")]
        return line.partition(": ")[2]

    def of_kind(self, kind: str) -> list[dict[str, Any]]:
        return [act for act in self.acts if act["kind"] == kind]
