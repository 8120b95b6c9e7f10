"""Steps that wait for one another in a ring: nobody could ever begin with any of them."""

from __future__ import annotations

from collections.abc import Iterator

from partsvc.domain.plan import Plan
from partsvc.domain.precedence import After, find_cycle

MOST_RINGS = 20


def rings(plan: Plan) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Each ring with the member it stands in: `after` when stripping, `refit_after` when refitting.

    A ring of the strip is one of the refit too, turned round; it is told once. Each step of a ring
    waits for the next, the last for the first; the first names the next itself in that member.
    At most MOST_RINGS of each are told.
    """
    strip = _known(plan, plan.strip_after)
    yield from (("after", ring) for ring in _cut(strip))
    for ring in _cut(_refit(plan, strip)):
        yield "refit_after", _turned(ring, plan.refit_after)


def _known(plan: Plan, after: After) -> dict[str, list[str]]:
    """Without the steps that are not there; those are faults of their own."""
    return {name: [one for one in others if one in plan.step_of] for name, others in after.items()}


def _refit(plan: Plan, strip: dict[str, list[str]]) -> dict[str, list[str]]:
    """What must be back before each step: what it names, and what came off after it."""
    back = _known(plan, plan.refit_after)
    for name, after in strip.items():
        for outer in after:
            back[outer].append(name)
    return back


def _cut(waits_for: dict[str, list[str]]) -> Iterator[tuple[str, ...]]:
    """The rings, one after the other, each cut open once it is told."""
    for _ in range(MOST_RINGS):
        ring = find_cycle(waits_for)
        if not ring:
            return
        yield ring
        last = waits_for[ring[-1]]
        last[:] = [name for name in last if name != ring[0]]


def _turned(ring: tuple[str, ...], named: After) -> tuple[str, ...]:
    """The same ring, begun at a step that names the next one where the lead can mend it."""
    pairs = zip(ring, (*ring[1:], ring[0]), strict=True)
    start = next((n for n, (step, other) in enumerate(pairs) if other in named[step]), 0)
    return ring[start:] + ring[:start]
