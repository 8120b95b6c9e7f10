"""The demonstration's files, read once for the tests that judge them."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import seed
from partsvc.domain.parts import Part
from partsvc.domain.plan import Phase, Plan, Position
from partsvc.domain.records import decode

SEED = Path(seed.__file__).parent
WHOLE_NUMBERS = {"length_mm", "pack_size"}


def catalogue(scenario: str) -> dict[str, Part]:
    with (SEED / scenario / "catalogue.csv").open(encoding="utf-8", newline="") as lines:
        parts = [decode(Part, _filled_in(row)) for row in csv.DictReader(lines)]
    assert len({part.number for part in parts}) == len(parts), "a part number stands twice"
    return {part.number: part for part in parts}


def _filled_in(row: dict[str, str]) -> dict[str, str | int]:
    given = {name: text for name, text in row.items() if text}
    return {name: int(text) if name in WHOLE_NUMBERS else text for name, text in given.items()}


def document(*names: str) -> Any:
    return json.loads(SEED.joinpath(*names).read_text("utf-8"))


PARTS = catalogue("van_battery")
PROCEDURE = document("van_battery", "procedure.json")
PLAN = decode(Plan, PROCEDURE)
PEOPLE = document("van_battery", "people.json")
POSITIONS = [position for _, position in PLAN.each_position()]
STRIP = [step for step in PLAN.steps if step.phase is not Phase.REFIT]
REFIT = [step for step in PLAN.steps if step.phase is not Phase.STRIP]
TEMPORARIES = [(step, item) for step in PLAN.steps for item in step.temporaries]
HOLDS = [hold for step in PLAN.steps for hold in step.holds]
PANEL_PARTS = catalogue("dashboard")
PANEL = document("dashboard", "record.json")


def parts_at(position: Position) -> list[Part]:
    return [PARTS[item.part] for item in position.stack]
