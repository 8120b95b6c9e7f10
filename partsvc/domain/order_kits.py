"""Parts that come only in a kit: so many kits are ordered that every one of them is enough."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from partsvc.domain.accepted_numbers import is_kit
from partsvc.domain.order_wants import Want, successor
from partsvc.domain.parts import Part, part_words


def kit_of(part: str, parts: Mapping[str, Part]) -> str:
    """The kit that a part is ordered in, under its number of today; empty if it comes alone."""
    facts = parts.get(part)
    if facts is None or not facts.only_in:
        return ""
    today = successor(facts.only_in, parts)
    return next((kit for kit in (today, facts.only_in) if holds(parts.get(kit), part)), "")


def holds(kit: Part | None, part: str) -> int:
    """How many pieces of a part one kit holds."""
    if kit is None or not is_kit(kit):
        return 0
    return sum(content.quantity for content in kit.contents if content.part == part)


def kits_wanted(
    wants: Mapping[str, Want], lacking: Mapping[str, int], parts: Mapping[str, Part]
) -> dict[str, Want]:
    """How many of each kit make up for what is lacking of what it holds, and why."""
    inside: dict[str, list[str]] = defaultdict(list)
    for part in sorted(wants):
        kit = kit_of(part, parts)
        if kit and lacking[part]:
            inside[kit].append(part)
    found = {}
    for kit, held in inside.items():
        many = {part: -(-lacking[part] // holds(parts[kit], part)) for part in held}
        firsts = [first for part in held if (first := wants[part].first) is not None]
        found[kit] = Want()
        found[kit].add(max(many.values()), _reason(held, lacking, parts), min(firsts))
    return found


def _reason(held: list[str], lacking: Mapping[str, int], parts: Mapping[str, Part]) -> str:
    named = ", ".join(f"{lacking[part]} {part_words(part, parts.get(part))}" for part in held)
    return f"to have {named}, which come only in it"
