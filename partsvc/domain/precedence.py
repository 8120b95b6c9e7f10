"""What must come off before what, and from that and the real strip order the way back.

`after` maps a step to the steps that must be done before it when stripping; on the way back the
same pairs hold the other way round.
"""

from collections.abc import Iterable, Mapping, Sequence
from heapq import heappop, heappush
from typing import TypeAlias

After: TypeAlias = Mapping[str, Sequence[str]]


class Cycle(ValueError):
    """The steps wait for one another in a ring: each for the next one, the last for the first."""

    def __init__(self, steps: tuple[str, ...]) -> None:
        waits = zip(steps, steps[1:] + steps[:1], strict=True)
        super().__init__("; ".join(f"{step} waits for {other}" for step, other in waits))
        self.steps = steps


def ancestors(step: str, after: After) -> frozenset[str]:
    """Everything that has to come off before this step, near and far."""
    found: set[str] = set()
    open_ends = list(after.get(step, ()))
    while open_ends:
        prerequisite = open_ends.pop()
        if prerequisite not in found:
            found.add(prerequisite)
            open_ends.extend(after.get(prerequisite, ()))
    return frozenset(found)


def strip_levels(after: After) -> tuple[tuple[str, ...], ...]:
    """The steps in layers: the first can begin at once, each later one when those before are done.

    Within a layer in the order in which `after` first names them. Raises Cycle.
    """
    waiting, followers = _counted(_named(after), _pairs(after))
    place = {step: at for at, step in enumerate(waiting)}
    layer = [step for step, count in waiting.items() if not count]
    layers = []
    while layer:
        layers.append(tuple(layer))
        freed = [step for done in layer for step in _released(done, waiting, followers)]
        layer = sorted(freed, key=place.__getitem__)
    if sum(map(len, layers)) < len(waiting):
        raise Cycle(find_cycle(after))
    return tuple(layers)


def find_cycle(after: After) -> tuple[str, ...]:
    """The steps of one ring, each waiting for the next and the last for the first; () if none."""
    finished: set[str] = set()
    for start in after:
        if start in finished:
            continue
        # Depth first with an explicit path: a plan may be a chain longer than the call stack.
        path, branches = {start: None}, [iter(after[start])]
        while branches:
            step = next(branches[-1], None)
            if step is None:
                branches.pop()
                finished.add(path.popitem()[0])
            elif step in path:
                steps = tuple(path)
                return steps[steps.index(step) :]
            elif step not in finished:
                path[step] = None
                branches.append(iter(after.get(step, ())))
    return ()


def refit_order(
    steps: Sequence[str],
    *,
    stripped: Mapping[str, int],
    after: After,
    refit_after: After,
) -> tuple[str, ...]:
    """The order in which to put back: the reverse of what was really done, as far as it may be.

    `steps` are all steps to place, in plan order; `stripped` the real order of taking off (a
    smaller number earlier). A step goes back before those it came off after, and after those
    `refit_after` names for it; these override the real order. A step of the refit alone (never
    stripped, only in `refit_after`) comes as soon as the last of its prerequisites is placed. One
    not stripped yet keeps its place in the plan. Steps named but not to be placed still pass
    their constraints on. Raises Cycle.
    """
    assert len(set(steps)) == len(steps), "a step is to be placed only once"
    waits_for = _refit_graph(steps, after, refit_after)
    urgency = _urgency(steps, stripped, after, refit_after)
    placed = _placed(waits_for, urgency)
    if len(placed) < len(waits_for):
        raise Cycle(find_cycle(waits_for))
    return tuple(step for step in placed if step in urgency)


def _refit_graph(steps: Sequence[str], after: After, refit_after: After) -> dict[str, list[str]]:
    """For each step the ones that have to be back before it."""
    named = dict.fromkeys([*steps, *_named(after), *_named(refit_after)])
    waits_for: dict[str, list[str]] = {step: list(refit_after.get(step, ())) for step in named}
    for step, prerequisite in _pairs(after):
        waits_for[prerequisite].append(step)
    return waits_for


#: Smaller is placed earlier when several steps may come next.
_Urgency: TypeAlias = tuple[int, float, int]
#: For steps that are not to be placed: they are in nobody's way.
_AT_ONCE: _Urgency = (-1, 0.0, 0)


def _urgency(
    steps: Sequence[str], stripped: Mapping[str, int], after: After, refit_after: After
) -> dict[str, _Urgency]:
    urgency: dict[str, _Urgency] = {}
    rank = float("-inf")
    for at, step in enumerate(steps):
        rank = stripped.get(step, rank)
        refit_only = step not in stripped and not after.get(step) and refit_after.get(step)
        urgency[step] = (0, 0.0, at) if refit_only else (1, -rank, -at)
    return urgency


def _placed(waits_for: After, urgency: Mapping[str, _Urgency]) -> list[str]:
    """All steps whose turn comes, always the most urgent of those that wait for nothing more."""
    waiting, followers = _counted(waits_for, _pairs(waits_for))
    ready: list[tuple[_Urgency, str]] = []
    for step, count in waiting.items():
        if not count:
            heappush(ready, (urgency.get(step, _AT_ONCE), step))
    placed = []
    while ready:
        step = heappop(ready)[1]
        placed.append(step)
        for freed in _released(step, waiting, followers):
            heappush(ready, (urgency.get(freed, _AT_ONCE), freed))
    return placed


def _named(after: After) -> dict[str, None]:
    return dict.fromkeys(name for step, others in after.items() for name in (step, *others))


def _pairs(after: After) -> Iterable[tuple[str, str]]:
    return ((step, other) for step, others in after.items() for other in others)


def _counted(
    steps: Iterable[str], pairs: Iterable[tuple[str, str]]
) -> tuple[dict[str, int], dict[str, list[str]]]:
    """How many others each step still waits for, and who waits for it."""
    waiting = dict.fromkeys(steps, 0)
    followers: dict[str, list[str]] = {}
    for step, other in pairs:
        waiting[step] += 1
        followers.setdefault(other, []).append(step)
    return waiting, followers


def _released(
    done: str, waiting: dict[str, int], followers: Mapping[str, Sequence[str]]
) -> list[str]:
    """The steps that waited for nothing more than this one."""
    freed = []
    for step in followers.get(done, ()):
        waiting[step] -= 1
        if not waiting[step]:
            freed.append(step)
    return freed
