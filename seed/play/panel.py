"""The minibus panel out, with no procedure at hand: the record is made while stripping.

A technician counts what comes off and says what it looks like; the parts desk names it later.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from seed.play.catalogue import document
from seed.play.hand import Hand


@dataclass(slots=True, kw_only=True)
class Stripped:
    """What became of the panel's groups: which position each one is in the book."""

    job: str
    names: dict[str, dict[str, Any]]
    pieces: int


def record() -> Any:
    """The panel's groups, as they were met."""
    return document("dashboard", "record.json")


def strip_unplanned(hand: Hand, groups: list[dict[str, Any]], tags: list[str]) -> Stripped:
    """Each group added as it is met, then into the bag of its step, or only unplugged."""
    steps: dict[str, tuple[str, str]] = {}
    names: dict[str, dict[str, Any]] = {}
    for group in groups:
        title = group["step_title"]
        known = steps.get(title)
        added = _added(hand, group, known[0] if known else "")
        if title not in steps:
            steps[title] = (added["step"], tags[len(steps)])
        names[added["part"]] = group
        _off(hand, group, added["position"], steps[title][1])
    pieces = sum(group["quantity"] for group in groups)
    return Stripped(job=hand.path, names=names, pieces=pieces)


def _added(hand: Hand, group: dict[str, Any], step: str) -> dict[str, Any]:
    """The new position as the service answers it: its id, its step, what its part is called."""
    new = {
        "where": group["where"],
        "zone": group["zone"],
        "quantity": group["quantity"],
        "words": group["words"],
        "rule": group["rule"],
        "loosen_only": group.get("stays_on_vehicle", False),
    }
    new |= {"step": step} if step else {"step_title": group["step_title"]}
    answer = hand.act("correct", add=new, reason="no procedure at hand: recorded as met")
    return next(one for one in answer["effects"] if one["effect"] == "position-added")


def _off(hand: Hand, group: dict[str, Any], position: str, bag: str) -> None:
    if group.get("stays_on_vehicle"):
        hand.act("loosen", position=position)
        return
    if group.get("missing"):
        hand.act("missing", position=position, quantity=group["missing"])
    hand.act("remove", position=position, bag=bag, broken=group.get("broken"))


def name_them(desk: Hand, stripped: Stripped) -> int:
    """The parts desk gives numbers to what it knows; answers how many stay without one."""
    for part, group in stripped.names.items():
        if group["named_later"]:
            desk.act("identify", what=part, part=group["named_later"], rule=group["rule"])
    return sum(not group["named_later"] for group in stripped.names.values())
