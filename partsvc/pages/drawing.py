"""Where things are drawn: bars and lanes as plain numbers, before any template sees them."""

from __future__ import annotations

from collections.abc import Sequence


def stretches(shares: Sequence[int], *, width: int, least: int) -> list[tuple[int, int]]:
    """A bar of a width cut by shares: where each stretch begins, and how wide it is.

    What is there at all is at least `least` wide, so that one missing screw of three hundred is
    seen; the others give it up, the widest first. The stretches fill the bar exactly.
    """
    total = sum(shares)
    if total == 0:
        return [(0, 0)] * len(shares)
    widths = [max(least, share * width // total) if share else 0 for share in shares]
    while (over := sum(widths) - width) != 0:
        widest = widths.index(max(widths))
        step = min(over, max(1, widths[widest] - least)) if over > 0 else over
        widths[widest] -= step
    starts = [sum(widths[:n]) for n in range(len(widths))]
    return list(zip(starts, widths, strict=True))
