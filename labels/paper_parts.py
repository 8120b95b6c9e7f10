"""The drawn pieces that papers are built from: words, signs, boxes to tick, lines to sign on.

Signs and boxes are real drawings, never characters of the typeface, so that a box to tick is
large enough for a pen and a sign looks the same as on a tag.
"""

from __future__ import annotations

from typing import Final
from xml.sax.saxutils import escape

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable
from reportlab.platypus import Paragraph as Words

from labels.draw_pdf import draw_mark
from labels.fit import one_line
from labels.fonts import Weight
from labels.paper import Align
from labels.paper_style import HAIR, MM, SMALL_SIZE, TICK_SIDE
from labels.shapes import Shape
from labels.wording import joined, plain_lines

_SHARE_LEFT: Final = {Align.LEFT: 0.0, Align.CENTRE: 0.5, Align.RIGHT: 1.0}
_SIGN_LINES_A_ROW: Final = 3
_SIGN_LINE_HEIGHT: Final = 19 * MM
_SIGN_LINE_GAP: Final = 6 * MM


def words(text: str, style: ParagraphStyle) -> Words:
    """Anyone's words, set as they are: a mark such as <b> in them is printed, not obeyed."""
    return Words("<br/>".join(escape(line) for line in plain_lines(text)), style)


class Sign(Flowable):
    """A sign that hangs below its place and takes no height, beside words that are indented."""

    def __init__(self, shape: Shape, side: float, *, down: float = 0.0) -> None:
        super().__init__()
        self.shape = shape
        self.side = side
        self.down = down

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:  # noqa: N803
        """No height of its own."""
        return (self.side, 0.0)

    def draw(self) -> None:
        """Paint the sign below the current place."""
        draw_mark(self.canv, self.shape, 0.0, -self.down, self.side)


class TickBox(Flowable):
    """An empty square for a pen, standing in its column as words would."""

    def __init__(self, align: Align) -> None:
        super().__init__()
        self.share_left = _SHARE_LEFT[align]
        self.room = TICK_SIDE

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:  # noqa: N803
        """As wide as the column and as high as the box."""
        self.room = aW
        return (aW, TICK_SIDE)

    def draw(self) -> None:
        """Paint the frame."""
        x = (self.room - TICK_SIDE) * self.share_left
        self.canv.setLineWidth(1.0)
        self.canv.rect(x + 0.5, 0.5, TICK_SIDE - 1.0, TICK_SIDE - 1.0, stroke=1, fill=0)


class SignLines(Flowable):
    """Lines to sign on, up to three side by side, with words below each."""

    def __init__(self, labels: tuple[str, ...], width: float) -> None:
        super().__init__()
        self.labels = tuple(joined(label) for label in labels)
        self.width = width

    @property
    def _rows(self) -> list[tuple[str, ...]]:
        starts = range(0, len(self.labels), _SIGN_LINES_A_ROW)
        return [self.labels[start : start + _SIGN_LINES_A_ROW] for start in starts]

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:  # noqa: N803
        """A hand's height for each row of lines."""
        return (self.width, len(self._rows) * _SIGN_LINE_HEIGHT)

    def split(self, aW: float, aH: float) -> list[Flowable]:  # noqa: N803
        """Rows that no longer fit on the page go to the next."""
        fitting = int(aH // _SIGN_LINE_HEIGHT) * _SIGN_LINES_A_ROW
        if not 0 < fitting < len(self.labels):
            return []
        return [
            SignLines(self.labels[:fitting], self.width),
            SignLines(self.labels[fitting:], self.width),
        ]

    def draw(self) -> None:
        """Paint the lines and the words below them."""
        most = min(_SIGN_LINES_A_ROW, len(self.labels))
        length = (self.width - (most - 1) * _SIGN_LINE_GAP) / max(1, most)
        for number, row in enumerate(reversed(self._rows)):
            y = number * _SIGN_LINE_HEIGHT + 1.6 * SMALL_SIZE
            for place, label in enumerate(row):
                self._draw_line(place * (length + _SIGN_LINE_GAP), y, length, label)

    def _draw_line(self, x: float, y: float, length: float, label: str) -> None:
        self.canv.setLineWidth(2 * HAIR)
        self.canv.line(x, y, x + length, y)
        self.canv.setFont(Weight.REGULAR.value, SMALL_SIZE)
        shown = one_line(label, length, SMALL_SIZE, Weight.REGULAR)
        self.canv.drawString(x, y - 1.3 * SMALL_SIZE, shown)
