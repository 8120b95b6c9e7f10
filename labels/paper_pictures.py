"""Photos on a paper: small, side by side, each with its words, and no larger than is shown.

A photo that cannot be opened any more leaves its words: the paper is needed all the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from io import BytesIO
from typing import Final

from reportlab.platypus import Flowable, Image

from labels.paper import Picture
from labels.paper_parts import words
from labels.paper_style import MM, SMALL_SIZE, TEXT_WIDTH, style
from labels.paper_tables import Command, grid
from labels.photo import PictureFault, clean

HIGHEST_MM: Final = 34.0
WIDEST_MM: Final = 60.0
IN_A_ROW: Final = 2
_LONGEST_PX: Final = 480
"""Some 200 dots an inch at the size shown: more than a paper copy keeps."""


def pictures_side_by_side(pictures: Sequence[Picture]) -> Flowable:
    """Rows of two photos; a single one stands on the left."""
    cells = [_cell(one) for one in pictures]
    cells += [[]] * (-len(cells) % IN_A_ROW)
    rows = [cells[start : start + IN_A_ROW] for start in range(0, len(cells), IN_A_ROW)]
    commands: list[Command] = [("VALIGN", (0, 0), (-1, -1), "BOTTOM")]
    return grid(rows, [TEXT_WIDTH / IN_A_ROW] * IN_A_ROW, commands, pad_y=0.8 * MM)


def _cell(picture: Picture) -> list[Flowable]:
    below = words(picture.words, style(SMALL_SIZE))
    try:
        jpeg = _small(picture.jpeg)
    except PictureFault:
        return [words("(this photo cannot be opened)", style(SMALL_SIZE)), below]
    image = Image(BytesIO(jpeg), hAlign="LEFT")
    share = min(WIDEST_MM * MM / image.imageWidth, HIGHEST_MM * MM / image.imageHeight)
    image.drawWidth, image.drawHeight = image.imageWidth * share, image.imageHeight * share
    return [image, below]


@lru_cache(maxsize=256)
def _small(jpeg: bytes) -> bytes:
    # The pages are drawn twice, and each photo is shrunk once.
    return clean(jpeg, longest_px=_LONGEST_PX)
