"""What happens to the tags on bags: replaced when lost or soaked, or in doubt which bag it is."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class TagReplaced:
    """A tag was lost or soaked; its bag carries another one from now on, and the old one is dead.

    `why` is told to whoever scans the old tag when it turns up again.
    """

    tag: str
    into: str
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TagGoodAgain:
    """The replacement of a tag was undone: the old tag is good again."""

    tag: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TagInDoubt:
    """A bag without a readable tag got a new one, and nobody is sure which bag it is."""

    tag: str
    words: str
    counted: str = ""
    perhaps: str = ""
