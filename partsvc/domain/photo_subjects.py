"""What a photo in an act is of, made from the act's own text: its step, its positions, its bags.

The text alone counts, so that what is kept for quick reading can be made anew and compared.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import cast

from partsvc.domain.places import AT_POSITION, Place, PlaceKind
from partsvc.domain.records import Plain
from partsvc.domain.tagcode import read

_TAKES_APART = ("loosen", "remove", "missing", "put-on")
PUTS_BACK = ("fit", "secure")
_AT_THE_END = (*PUTS_BACK, "take-off")
_POSITIONS = ("position", "positions")
_BAGS = ("bag", "bags", "tags", "into")


class Shows(StrEnum):
    """Whether a photo shows how it was before it was taken apart, or after it was put back."""

    BEFORE = "before"
    AFTER = "after"


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """One thing that a photo is of."""

    step: str = ""
    position: str = ""
    bag: str = ""


def photos_in(said: Mapping[str, Plain]) -> tuple[str, ...]:
    """The hashes of the photos an act carries, each once."""
    sent = cast(list[str], _request(said).get("photos") or [])
    return tuple(dict.fromkeys(sent))


def subjects(said: Mapping[str, Plain]) -> tuple[Subject, ...]:
    """Each position and bag that an act speaks of; its step alone where it speaks of neither."""
    request = _request(said)
    step = str(said.get("step") or request.get("step") or "")
    places = tuple(_places(said))
    positions = tuple(
        dict.fromkeys(
            (*_named(request, _POSITIONS), *(one.at for one in places if one.kind in AT_POSITION))
        )
    )
    bags = tuple(
        dict.fromkeys(
            (
                *map(read, _named(request, _BAGS)),
                *(one.at for one in places if one.kind is PlaceKind.BAG),
            )
        )
    )
    if len(bags) <= 1:
        bag = "".join(bags)
        at = positions or ("",)
        return tuple(Subject(step=step, position=one, bag=bag) for one in at)
    return (
        *(Subject(step=step, position=one) for one in positions),
        *(Subject(step=step, bag=one) for one in bags),
    )


def shows(said: Mapping[str, Plain]) -> Shows | None:
    """What the act itself says of it; None where it depends on what was put back before."""
    told = _request(said).get("when")
    if said.get("kind") == "picture" and isinstance(told, str):
        return Shows(told)
    if said.get("kind") in _TAKES_APART:
        return Shows.BEFORE
    return Shows.AFTER if said.get("kind") in _AT_THE_END else None


def words_of(said: Mapping[str, Plain]) -> str:
    """What was written beside the photo."""
    request = _request(said)
    return str(request.get("note") or request.get("words") or "")


def _request(said: Mapping[str, Plain]) -> Mapping[str, Plain]:
    return cast(Mapping[str, Plain], said.get("request") or {})


def _named(request: Mapping[str, Plain], names: Iterable[str]) -> Iterator[str]:
    for name in names:
        given = request.get(name)
        if isinstance(given, str):
            yield given
        elif isinstance(given, list):
            yield from (one for one in given if isinstance(one, str))


def _places(said: Mapping[str, Plain]) -> Iterator[Place]:
    for entry in cast(list[Mapping[str, Mapping[str, str]]], said.get("entries") or []):
        for side in ("from", "to"):
            yield Place.parse(entry[side]["place"])
