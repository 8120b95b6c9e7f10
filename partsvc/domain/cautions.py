"""The usual cautions of this trade. They remind; they never replace the maker's instructions."""

from __future__ import annotations

from partsvc.domain.plan import Hazard, Hold, Plan, Step

DEFER = (
    "Follow the vehicle maker's instructions, the local codes and licensed practice; they govern "
    "wherever they differ from this list. Torques are shown as the named source states them."
)

USUAL: dict[Hazard, str] = {
    Hazard.HIGH_VOLTAGE: (
        "High voltage can kill. Only people qualified for it work here. Switch off, secure against "
        "switching on, prove dead with a proved instrument before touching; the pack stays live "
        "inside. No jewellery, a second person within call."
    ),
    Hazard.LIFTED: (
        "Lifted vehicle. Check pads and arms before going under; the centre of mass moves when "
        "the pack leaves. Support or strap as the maker states."
    ),
    Hazard.HEAVY: (
        "Heavy pack. Take its weight on the table before the last bolts; nobody under it, hands "
        "out of the gap; lower in stages and look for what still holds."
    ),
    Hazard.COOLANT: (
        "Hot coolant under pressure scalds and is poisonous. Let it cool, release the pressure, "
        "collect it; keep it off high-voltage connectors and cap every open port."
    ),
}


def step_cautions(step: Step) -> tuple[str, ...]:
    """The cautions of a step: the usual ones of its hazards, then its own."""
    return (*(USUAL[hazard] for hazard in _hazards(step)), *step.cautions)


def _hazards(step: Step) -> tuple[Hazard, ...]:
    """Its hazards as named, and high voltage where only a hold of it says so."""
    unsaid = step.high_voltage and Hazard.HIGH_VOLTAGE not in step.hazards
    return (*([Hazard.HIGH_VOLTAGE] if unsaid else []), *step.hazards)


def hold_cautions(hold: Hold) -> tuple[str, ...]:
    """The cautions that go with a hold of high voltage, and whom to follow."""
    return (USUAL[Hazard.HIGH_VOLTAGE], DEFER) if hold.high_voltage else ()


def plan_cautions(plan: Plan) -> tuple[str, ...]:
    """The cautions of a whole job: the usual ones of every hazard in it, its own, and whom to
    follow."""
    hazards = {hazard for step in plan.steps for hazard in _hazards(step)}
    usual = tuple(USUAL[hazard] for hazard in Hazard if hazard in hazards)
    return (*usual, *plan.cautions, DEFER)
