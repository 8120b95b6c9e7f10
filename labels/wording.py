"""Makes any words fit to be printed: one line, no control characters, one way of writing each.

Names come from many hands and programs. A tab, a line feed or a stray control character would
be drawn as an empty frame, and a letter written in two code points would be measured as two.

The typeface has the letters of Latin, Greek and Cyrillic writing and of a few more. What it has
not, Chinese or Thai for one, is printed as one `NOT_PRINTED` sign for each stretch, so that
nobody takes a gap for the whole name: the words around it, the code and the symbol stay.
"""

from __future__ import annotations

import unicodedata
from itertools import groupby
from typing import Final

from labels.fonts import has_letter

ELLIPSIS: Final = "…"
NOT_PRINTED: Final = "\N{REPLACEMENT CHARACTER}"
"""A question mark in a black diamond: here are letters that the typeface does not have."""

MOST_LETTERS: Final = 300
"""No label holds more in one row; longer words are cut before they are measured."""


def plain(text: str | None) -> str:
    """The words on one line, with single spaces; nothing for None."""
    if not text:
        return ""
    return " ".join(_printable(text).split())


def plain_lines(text: str) -> tuple[str, ...]:
    """The same for words that may stand on several lines."""
    return tuple(" ".join(line.split()) for line in _printable(text).splitlines())


def joined(*texts: str | None) -> str:
    """What was given of the texts on one line, with dots between, cut to what a label may hold."""
    text = " · ".join(words for words in map(plain, texts) if words)
    return text if len(text) <= MOST_LETTERS else text[: MOST_LETTERS - 1] + ELLIPSIS


def _printable(text: str) -> str:
    composed = unicodedata.normalize("NFC", text)
    letters = (
        letter for letter in composed if letter.isspace() or unicodedata.category(letter)[0] != "C"
    )
    return "".join(
        "".join(stretch) if known else NOT_PRINTED for known, stretch in groupby(letters, _known)
    )


def _known(letter: str) -> bool:
    return letter.isspace() or has_letter(letter)
