"""How people are called in what is kept: by their id, for names stand in no record.

Whoever shows the words to somebody puts the name in the id's place (`named`).
"""

from __future__ import annotations

import re
from collections.abc import Mapping

_CALLED = re.compile(r"\b[Pp]erson ([A-Za-z0-9][A-Za-z0-9._:-]*[A-Za-z0-9]|[A-Za-z0-9])")


def called_by_id(person: str) -> str:
    """A person in a sentence that may be kept."""
    return f"person {person}"


def calls_somebody(words: str) -> bool:
    """Whether a sentence may call somebody by their id."""
    return _CALLED.search(words) is not None


def named(words: str, names: Mapping[str, str]) -> str:
    """The same sentence for a reader, everybody called by their name."""
    return _CALLED.sub(lambda found: names.get(found[1]) or found[0], words)
