"""How long a thousand tags take to become a PDF, and how much of it is their symbols.

    .venv/bin/python tests/benchmarks/tags.py

The symbols alone are computed afresh, and so are those of the sheets: nothing is remembered from
one measurement to the next. Half of the tags carry an address.
"""

from __future__ import annotations

import time

from labels.draw_pdf import sheet_pdf
from labels.fonts import family
from labels.shapes import Shape
from labels.stock import load
from labels.symbol import symbol
from labels.tag import TagFace
from partsvc.domain import tagcode

TAGS = 1000
STOCKS = ("a4-3x7", "a4-2x5", "single-70x50-300", "tie-on-a4-3x2")


def face(number: int) -> TagFace:
    """A full tag of a bag."""
    code = tagcode.from_number(number * 104_729 + 17)
    return TagFace(
        code=code, payload=f"HTTPS://PARTS.EXAMPLE/T/{code}" if number % 2 else None,
        kind="BAG", kind_shape=Shape.POUCH, job="Job 12", vehicle="Panel van",
        step=f"Step {number % 90 + 1} Take off the underbody tray",
        position=f"left sill, fixing {number}", part="Flange bolt M10 x 35", count="4 pieces",
        rule="REPLACE: single-use, do not put back", rule_shape=Shape.CROSSED_BOX,
    )  # fmt: skip


def main() -> None:
    """Print a row for the bare symbols and one for each stock."""
    faces = [face(number) for number in range(TAGS)]
    family()
    symbol.cache_clear()
    begun = time.perf_counter()
    for one in faces:
        symbol(one.symbol_payload)
    bare = time.perf_counter() - begun
    print(f"{'symbols alone':18} {TAGS} in {bare:5.2f} s")
    for key in STOCKS:
        symbol.cache_clear()
        begun = time.perf_counter()
        size_kb = len(sheet_pdf(faces, load(key))) / 1000
        took = time.perf_counter() - begun
        print(
            f"{key:18} {TAGS} in {took:5.2f} s, {size_kb:5.0f} kB, "
            f"{took / bare:.2f} x the symbols alone"
        )


if __name__ == "__main__":
    main()
