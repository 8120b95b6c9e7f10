"""Random acts about part numbers: another one is accepted at a position, or not taken there."""

from __future__ import annotations

from random_moment import Members, Moment


def other_numbers(at: Moment) -> Members:
    """Another number is accepted at a position, or not taken there any more."""
    name = at.position()
    found = at.desk.plan.positions.get(name)
    item = at.rng.choice(found.stack) if found else None
    members: Members = {"reason": "as it is", "position": name}
    members |= at.some(part=item.part) if item else {}
    if item is not None and item.numbers[1:] and at.chance(40):
        return {**members, "part": item.part, "refuses": at.rng.choice(item.numbers[1:])}
    return {**members, "accepts": at.part(), **at.some(source="bulletin e\u0301 7")}
