"""A tag for every bag, shelf and trolley of the job, printed before anything comes off.

A bag of one position carries all that the service knows of it; a bag of several carries their
names. A tray with numbered pockets has a tag, and one for each pocket.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping

from partsvc.domain.plan import Plan
from seed.play.bags import OLD_PARTS, TRAY, pocket
from seed.play.door import SignedIn


def mint(
    lead: SignedIn, job: str, plan: Plan, home: Mapping[str, str], kits: Iterable[str] = ()
) -> dict[str, str]:
    """The tag of each bag, by the bag's working name."""
    inside: dict[str, list[str]] = defaultdict(list)
    for position, name in home.items():
        inside[name].append(position)
    pockets = [name for name in inside if name.startswith(TRAY)]
    tags = _tray(lead, job, len(pockets)) if pockets else {}
    alone = {
        positions[0]: name
        for name, positions in inside.items()
        if len(positions) == 1 and name not in tags
    }
    made = lead.make("/tags", {"job": job, "positions": sorted(alone)})["tags"]
    tags |= {alone[tag["position"]]: tag["code"] for tag in made}
    for name in (*inside, *kits):
        if name not in tags:
            words = {"count": 1, "words": _words(name, inside[name], plan)}
            tags[name] = lead.make("/tags", words)["tags"][0]["code"]
    return tags | {OLD_PARTS: blank(lead, OLD_PARTS.capitalize(), use=OLD_PARTS.replace(" ", "-"))}


def blank(lead: SignedIn, words: str, **asked: str) -> str:
    """A new tag that is on no bag yet."""
    made = lead.make("/tags", {"count": 1, "words": words} | asked)
    return str(made["tags"][0]["code"])


def _tray(lead: SignedIn, job: str, pockets: int) -> dict[str, str]:
    asked = {"pockets": pockets, "words": "Tray with numbered pockets", "job": job}
    made = lead.make("/tags/boards", asked)
    numbered = {pocket(one["number"]): str(one["code"]) for one in made["pockets"]}
    return {TRAY: str(made["board"]["code"])} | numbered


def _words(name: str, positions: list[str], plan: Plan) -> str:
    """What stands on the tag of a bag that takes several positions, or of a shelf or box."""
    if not positions or ":" in name:
        return name.capitalize()
    numbers = sorted({plan.home_step[position].number for position in positions})
    return f"Step {', '.join(map(str, numbers))}: {', '.join(positions)}"
