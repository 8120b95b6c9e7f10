"""Every text that a person may read has its counterpart, and the counterpart fits."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

import pytest
from babel.messages.catalog import Message
from babel.messages.pofile import read_po
from collect_words import catalogue, files, written

FILES = {path.name: (path, language, texts) for path, language, texts in files()}
_PLACES = re.compile(r"%\(\w+\)[sd]|\{\w*\}")


@pytest.mark.parametrize("name", sorted(FILES))
def test_the_catalogue_holds_what_is_said_and_nothing_else(name: str) -> None:
    path, language, texts = FILES[name]

    assert written(catalogue(path, language, texts)) == path.read_bytes(), (
        "run .venv/bin/python tests/pages/collect_words.py"
    )


@pytest.mark.parametrize("name", sorted(FILES))
def test_nothing_lacks_a_counterpart_and_all_places_are_filled(name: str) -> None:
    path, language, _ = FILES[name]
    messages = [one for one in _read(path, language) if one.id]

    assert [one.id for one in messages if not _filled(one)] == []
    assert [one.id for one in messages if not _fits(one)] == []


def _read(path: Path, language: str) -> list[Message]:
    with path.open("rb") as file:
        return list(read_po(file, locale=language))


def _filled(message: Message) -> bool:
    string = message.string
    return all(string) if isinstance(string, list | tuple) else bool(string)


def _fits(message: Message) -> bool:
    """The same places in both; numbered ones stand for those in order."""
    ids = message.id if isinstance(message.id, list | tuple) else [message.id]
    strings = message.string if isinstance(message.string, list | tuple) else [message.string]
    wanted = _places(str(ids[-1]))
    return all(_places(str(one)) in (wanted, _places(str(ids[0]))) for one in strings)


def _places(text: str) -> Counter[str]:
    return Counter(re.sub(r"\{\d+\}", "{}", one) for one in _PLACES.findall(text))
