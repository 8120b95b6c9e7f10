"""The one typeface on everything we print, and how wide its words are.

The font files are those of an installed package. It is looked up but never imported: importing
it would start a whole typesetting system. Nothing is opened before the first word is measured.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import Enum
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path
from threading import Lock
from typing import Final, cast

from PIL import ImageFont
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

_REGISTERING: Final = Lock()
_PACKAGE: Final = "rinoh_typeface_dejavusans"

LINE_PITCH: Final = 1.2
"""Distance between baselines, as a share of the type size; the font's own is 1.164."""

ASCENT: Final = 0.94
DESCENT: Final = 0.25
"""How far letters reach above and below the baseline, as shares of the type size."""


class Weight(Enum):
    """Ordinary words or words that must be seen first."""

    REGULAR = "DejaVuSans"
    BOLD = "DejaVuSans-Bold"


class FontMissing(RuntimeError):
    """The package that holds the typeface is not installed whole."""


@lru_cache(maxsize=1)
def family() -> str:
    """Make both weights known to the PDF library; answers the name of the regular one.

    Only once, also when two papers are the first at the same time: a font exchanged while a
    page is drawn with it would mix up that page's letters.
    """
    with _REGISTERING:
        for weight in Weight:
            if weight.value not in pdfmetrics.getRegisteredFontNames():
                pdfmetrics.registerFont(TTFont(weight.value, str(_file(weight))))
    return Weight.REGULAR.value


def width_mm(text: str, size_mm: float, weight: Weight) -> float:
    """How wide the words come out, from the font's own advance widths and in the size's unit."""
    family()
    return float(pdfmetrics.stringWidth(text, weight.value, size_mm))


def has_letter(letter: str) -> bool:
    """Whether the letter can be printed: the typeface has it, light and bold."""
    return ord(letter) in _letters()


@lru_cache(maxsize=1)
def _letters() -> frozenset[int]:
    family()
    regular, bold = (frozenset(_letters_of(weight)) for weight in Weight)
    return regular & bold


def _letters_of(weight: Weight) -> Iterable[int]:
    font = pdfmetrics.getFont(weight.value)
    assert isinstance(font, TTFont), "family() registers fonts of this kind alone"
    return cast(Iterable[int], font.face.charToGlyph)


@lru_cache(maxsize=64)
def picture_font(weight: Weight, size_dots: float) -> ImageFont.FreeTypeFont:
    """The font for drawing into a picture at a size in dots."""
    return ImageFont.truetype(str(_file(weight)), size_dots, layout_engine=ImageFont.Layout.BASIC)


def _file(weight: Weight) -> Path:
    spec = find_spec(_PACKAGE)
    for folder in (spec.submodule_search_locations or ()) if spec else ():
        path = Path(folder) / f"{weight.value}.ttf"
        if path.is_file():
            return path
    raise FontMissing(f"{weight.value}.ttf was not found: install {_PACKAGE}.")
