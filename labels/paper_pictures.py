"""Photos on a paper: small, side by side, each with its words, and no larger than is shown.

A photo that cannot be opened any more leaves its words: the paper is needed all the same. Marks
on a photo are drawn, not painted into it: their numbers are text, as sharp as the printer is.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from io import BytesIO
from typing import Final

from reportlab.lib.colors import black, white
from reportlab.platypus import Flowable, Image

from labels.fonts import Weight
from labels.paper import Picture, PictureMark
from labels.paper_parts import words
from labels.paper_style import MEDIUM, MM, SMALL_SIZE, TEXT_WIDTH, style
from labels.paper_tables import Command, grid
from labels.photo import PictureFault, clean

HIGHEST_MM: Final = 34.0
WIDEST_MM: Final = 60.0
MARKED_HIGHEST_MM: Final = 60.0
MARKED_WIDEST_MM: Final = 80.0
IN_A_ROW: Final = 2
_PX_PER_MM: Final = 8
"""Some 200 dots an inch at the size shown: more than a paper copy keeps."""
_RADIUS: Final = 2.3 * MM
_HALO: Final = 0.5 * MM


def pictures_side_by_side(pictures: Sequence[Picture]) -> Flowable:
    """Rows of two photos; a single one stands on the left."""
    cells = [_cell(one) for one in pictures]
    cells += [[]] * (-len(cells) % IN_A_ROW)
    rows = [cells[start : start + IN_A_ROW] for start in range(0, len(cells), IN_A_ROW)]
    commands: list[Command] = [("VALIGN", (0, 0), (-1, -1), "BOTTOM")]
    return grid(rows, [TEXT_WIDTH / IN_A_ROW] * IN_A_ROW, commands, pad_y=0.8 * MM)


def _cell(picture: Picture) -> list[Flowable]:
    below = words(picture.words, style(SMALL_SIZE))
    widest = MARKED_WIDEST_MM if picture.marks else WIDEST_MM
    highest = MARKED_HIGHEST_MM if picture.marks else HIGHEST_MM
    try:
        jpeg = _small(picture.jpeg, round(widest * _PX_PER_MM))
    except PictureFault:
        return [words("(this photo cannot be opened)", style(SMALL_SIZE)), below]
    image = _MarkedPhoto(jpeg, picture.marks)
    share = min(widest * MM / image.imageWidth, highest * MM / image.imageHeight)
    image.drawWidth, image.drawHeight = image.imageWidth * share, image.imageHeight * share
    return [image, below]


class _MarkedPhoto(Image):
    """A photo with its marks over it: a circle and a number each, dark where it is done."""

    def __init__(self, jpeg: bytes, marks: Sequence[PictureMark]) -> None:
        super().__init__(BytesIO(jpeg), hAlign="LEFT")
        self.marks = marks

    def draw(self) -> None:
        """Paint the photo, then the marks."""
        super().draw()
        for mark in self.marks:
            self._mark(mark, *centre(mark, self.drawWidth, self.drawHeight))

    def _mark(self, mark: PictureMark, x: float, y: float) -> None:
        canvas = self.canv
        canvas.saveState()
        # A white rim keeps the circle apart from a dark photo, a black one from a light photo.
        canvas.setFillColor(white)
        canvas.circle(x, y, _RADIUS + _HALO, stroke=0, fill=1)
        canvas.setFillColor(black if mark.done else white)
        canvas.setStrokeColor(black)
        canvas.setLineWidth(MEDIUM)
        canvas.circle(x, y, _RADIUS, stroke=1, fill=1)
        canvas.setFillColor(white if mark.done else black)
        canvas.setFont(Weight.BOLD.value, SMALL_SIZE)
        canvas.drawCentredString(x, y - SMALL_SIZE * 0.36, mark.text)
        canvas.restoreState()


def centre(mark: PictureMark, width: float, height: float) -> tuple[float, float]:
    """The middle of a mark on a photo of a size, from the photo's lower left; always on it."""
    x, y = (min(1000, max(0, one)) / 1000 for one in (mark.x_permille, mark.y_permille))
    return width * x, height * (1 - y)


@lru_cache(maxsize=256)
def _small(jpeg: bytes, longest_px: int) -> bytes:
    # The pages are drawn twice, and each photo is shrunk once.
    return clean(jpeg, longest_px=longest_px)
