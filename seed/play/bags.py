"""Which bag takes what: one bag a step, and a second one where look-alikes would lie together.

What is too large for a bag lies on a shelf or a trolley that carries a tag of its own.
"""

from __future__ import annotations

from collections.abc import Mapping

from partsvc.domain.parts import Part, PartKind
from partsvc.domain.plan import Plan, Position, Step

OLD_PARTS = "old parts"
KIT_OF = {PartKind.TIE: "kit: ties", PartKind.SEAL: "kit: seals"}
KITS = tuple(KIT_OF.values())

_SHELVES = {
    PartKind.COVER: "shelf: covers",
    PartKind.HOSE: "shelf: hoses",
    PartKind.BRACKET: "shelf: brackets",
    PartKind.ASSEMBLY: "trolley: pack",
}

# Positions whose pieces look like those of their neighbours lie in a second bag of the step.
_SECOND_BAG = (
    "FS-02", "RS-02", "SG-L2", "SG-R2", "BF-02", "BR-02", "HC-03", "HK-L3", "HK-R3", "PB-L2",
    "PB-R2",
)  # fmt: skip

# Small steps worked one after the other share a bag; nothing in them looks alike.
_SHARED = {
    "liner-left": "sill-left",
    "liner-right": "sill-right",
    "bond-right": "bond-left",
    "hangers-right": "hangers-left",
    "strut-right": "strut-left",
    "brake-cables": "brake-pipes",
    "plug-access": "key-12v",
    "measure-cover": "coolant-drain",
}


def bag_of(step: Step, position: Position, parts: Mapping[str, Part]) -> str:
    """The bag, shelf or trolley that takes what comes off at a position, by its working name."""
    kind = parts[position.stack[0].part].kind
    if kind in _SHELVES:
        return _SHELVES[kind]
    if position.id in ("SG-L2", "SG-R2"):
        return "guards, second bag"
    name = _SHARED.get(step.id, step.id)
    return f"{name}, second bag" if position.id in _SECOND_BAG else name


TRAY = "tray"
_IN_THE_TRAY = ("RS-01", "RS-02", "RS-03")
_IN_THEIR_OWN_HOLES = ("SG-L2",)


def bags_in_the_story(plan: Plan, parts: Mapping[str, Part]) -> dict[str, str]:
    """The bags of the story's van: look-alikes of one step in the pockets of a tray instead of two
    bags, and bolts that go back finger-tight into their own holes in none.
    """
    home = bags_by_position(plan, parts)
    pockets = {name: pocket(number) for number, name in enumerate(_IN_THE_TRAY, start=1)}
    return {name: bag for name, bag in (home | pockets).items() if name not in _IN_THEIR_OWN_HOLES}


def pocket(number: int) -> str:
    """The working name of one of the tray's pockets."""
    return f"{TRAY}, pocket {number}"


def bags_by_position(plan: Plan, parts: Mapping[str, Part]) -> dict[str, str]:
    """The bag of every position whose pieces come off the vehicle; the plug goes into a box."""
    return {
        position.id: bag_of(step, position, parts)
        for step, position in plan.each_position()
        if not position.loosen_only and not step.energises
    }
