"""The words of the pages in the reader's language, from catalogues in `words/`.

English is the language of the templates; each other language is one gettext catalogue
(`words/<language>.po`), read once and compiled in memory.
"""

from __future__ import annotations

from functools import lru_cache
from gettext import GNUTranslations, NullTranslations
from io import BytesIO
from pathlib import Path
from typing import cast

from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po
from flask import g, has_request_context, request

FOLDER = Path(__file__).parent / "words"

#: Each language by its own name.
LANGUAGES = {"en": "English", "de": "Deutsch"}


@lru_cache(maxsize=8)
def words_of(language: str) -> NullTranslations:
    """The catalogue of a language; English, where a text has no other, is the text itself."""
    path = FOLDER / f"{language}.po"
    if not path.is_file():
        return NullTranslations()
    with path.open("rb") as file:
        catalogue = read_po(file, locale=language)
    compiled = BytesIO()
    write_mo(compiled, catalogue)
    compiled.seek(0)
    return GNUTranslations(compiled)


def language() -> str:
    """The language of this page: as the person chose, else as the browser asks, else English."""
    if not has_request_context():
        return "en"
    visitor = g.get("visitor")
    if visitor is not None and visitor.wants.language in LANGUAGES:
        return cast(str, visitor.wants.language)
    return request.accept_languages.best_match(list(LANGUAGES), default="en")


def gettext(text: str) -> str:
    """A text of the pages in the reader's language."""
    return words_of(language()).gettext(text)


def ngettext(one: str, many: str, number: int) -> str:
    """A text that depends on a number, in the reader's language."""
    return words_of(language()).ngettext(one, many, number)
