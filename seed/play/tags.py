"""A tag for every bag, shelf and trolley of the job, printed before anything comes off.

A bag of one position carries all that the service knows of it; a bag of several carries their
names.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from partsvc.domain.plan import Plan
from seed.play.bags import KITS, OLD_PARTS
from seed.play.door import SignedIn


def mint(lead: SignedIn, job: str, plan: Plan, home: Mapping[str, str]) -> dict[str, str]:
    """The tag of each bag, by the bag's working name."""
    inside: dict[str, list[str]] = defaultdict(list)
    for position, name in home.items():
        inside[name].append(position)
    alone = {positions[0]: name for name, positions in inside.items() if len(positions) == 1}
    made = lead.make("/tags", {"job": job, "positions": sorted(alone)})["tags"]
    tags = {alone[tag["position"]]: tag["code"] for tag in made}
    for name in (*inside, OLD_PARTS, *KITS):
        if name not in tags:
            words = {"count": 1, "words": _words(name, inside[name], plan)}
            tags[name] = lead.make("/tags", words)["tags"][0]["code"]
    return tags


def _words(name: str, positions: list[str], plan: Plan) -> str:
    """What stands on the tag of a bag that takes several positions, or of a shelf or box."""
    if not positions or ":" in name:
        return name.capitalize()
    numbers = sorted({plan.home_step[position].number for position in positions})
    return f"Step {', '.join(map(str, numbers))}: {', '.join(positions)}"
