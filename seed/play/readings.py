"""The readings the invented holds and steps ask for, as this invented van gave them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from partsvc.domain.plan import Equipment, Hold, Position, Reading

_NUMBER_OF = {Equipment.GLOVES: "G-02", Equipment.LIFT: "L-01"}
_READ = {
    "HV+ to HV-": "0.3",
    "HV- to chassis": "0.1",
    "Coolant let out": "9.2",
    "Load on the table": "412",
    "Isolation HV+ to case": "5200",
    "Isolation HV- to case": "5100",
    "State of charge": "38",
    "Gap left": "180",
    "Coolant filled in": "9.5",
    "Coolant topped up": "0.4",
    "Pressure lost": "0.0",
    "Pack to chassis, front left": "12",
    "Pack to chassis, front right": "14",
    "Pack to chassis, rear": "11",
    "Faults left": "0",
    "12 V supply": "12.6",
    "Distance driven": "18",
    "Coolant added": "0.1",
}
_BY_HOLD = {
    ("h-dead", "HV+ to chassis"): "0.2",
    ("h-isolation", "HV+ to chassis"): "4900",
    ("h-isolation", "HV- to chassis"): "4800",
    ("h-lower-first", "Lowered by"): "50",
    ("h-lower-180", "Lowered by"): "180",
}


def values(asked: Iterable[Reading], of: str = "") -> list[dict[str, Any]]:
    """Each reading asked for, with the value read."""
    return [
        {
            "name": one.name,
            "value": _BY_HOLD.get((of, one.name)) or _READ[one.name],
            **({"unit": one.unit} if one.unit else {}),
        }
        for one in asked
    ]


def hold_fields(hold: Hold, witness: str) -> dict[str, Any]:
    """What a hold point asks for, given as asked."""
    asked: dict[str, Any] = {"hold": hold.id}
    if hold.readings:
        asked["values"] = values(hold.readings, hold.id)
    if hold.instrument:
        asked |= {"instrument": "M-07", "proved_before": True, "proved_after": True}
    for kind in hold.equipment:
        asked[kind.value] = _NUMBER_OF[kind]
    if hold.witness:
        asked["witness"] = witness
    return asked


def securing_fields(position: Position) -> dict[str, Any]:
    """What a position wants written down when it is secured: the stages as the plan states them."""
    first = next((stage for stage in position.stages if stage.torque_nm), None)
    if position.record.value == "setting" and first:
        return {"tool": "W-12", "setting": f"{first.torque_nm} N m"}
    if position.record.value == "values" and first:
        return {
            "tool": "W-31",
            "values": [
                {"name": f"bolt {number}", "value": first.torque_nm, "unit": "N m"}
                for number in range(1, position.sets + 1)
            ],
        }
    return {}
