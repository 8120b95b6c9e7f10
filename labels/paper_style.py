"""How our papers look: black on white, one typeface, generous, to be read at a bench.

Nothing is told apart by grey or by colour. Lines carry the order of the page: a thick one opens
it, a medium one heads a table, a hair separates rows.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final, Literal

from reportlab.lib.colors import HexColor, black
from reportlab.lib.styles import ParagraphStyle

from labels.fonts import Weight, family
from labels.paper import Align

MM: Final = 72 / 25.4

PAGE_WIDTH: Final = 210 * MM
PAGE_HEIGHT: Final = 297 * MM
MARGIN_SIDE: Final = 18 * MM
MARGIN_TOP: Final = 16 * MM
MARGIN_FOOT: Final = 20 * MM
RUNNING_HEAD: Final = 9 * MM
TEXT_WIDTH: Final = PAGE_WIDTH - 2 * MARGIN_SIDE

THICK: Final = 2.4
MEDIUM: Final = 0.9
HAIR: Final = 0.35
HAIR_INK: Final = HexColor("#666666")

BODY_SIZE: Final = 10.0
SMALL_SIZE: Final = 8.0
TICK_SIDE: Final = 4.6 * MM
SIGN_SIDE: Final = 3.4 * MM

_ALIGNED: Final[dict[Align, Literal[0, 1, 2]]] = {
    # The PDF library's own numbers.
    Align.LEFT: 0,
    Align.CENTRE: 1,
    Align.RIGHT: 2,
}


@lru_cache(maxsize=64)
def style(
    size: float = BODY_SIZE,
    weight: Weight = Weight.REGULAR,
    *,
    align: Align = Align.LEFT,
    before: float = 0.0,
    after: float = 0.0,
    indent: float = 0.0,
) -> ParagraphStyle:
    """A way to set words; sizes and spaces in points."""
    family()
    return ParagraphStyle(
        name=f"{weight.name}-{size:g}",
        fontName=weight.value,
        bulletFontName=weight.value,
        fontSize=size,
        leading=size * 1.36,
        alignment=_ALIGNED[align],
        textColor=black,
        spaceBefore=before,
        spaceAfter=after,
        leftIndent=indent,
        splitLongWords=1,
        allowWidows=0,
        allowOrphans=0,
    )
