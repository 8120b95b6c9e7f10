"""Makes any words fit to be printed: one line, no control characters, one way of writing each.

Names come from many hands and programs. A tab, a line feed or a stray control character would
be drawn as an empty frame, and a letter written in two code points would be measured as two.
"""

from __future__ import annotations

import unicodedata
from typing import Final

ELLIPSIS: Final = "…"

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
    return "".join(
        letter for letter in composed if letter.isspace() or unicodedata.category(letter)[0] != "C"
    )
