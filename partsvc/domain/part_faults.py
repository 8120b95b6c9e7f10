"""What makes a list of parts unusable as a catalogue, and what is odd about it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from decimal import Decimal
from math import pi

from partsvc.domain import part_contents
from partsvc.domain.parts import STRAY_PREFIX, UNNAMED_PREFIX, Part, PartKind
from partsvc.domain.placed import Mark, Placed, twice
from partsvc.domain.precedence import find_cycle
from partsvc.domain.records import Fault
from partsvc.domain.temporaries import PREFIX as TEMPORARY_PREFIX
from partsvc.domain.threads import PROPERTY_CLASSES, Thread, UnknownThread, read_thread

#: Numbers of this form are the book's own names for pieces that have none yet.
RESERVED = (STRAY_PREFIX, UNNAMED_PREFIX, TEMPORARY_PREFIX)

_THREADED = (PartKind.BOLT, PartKind.SCREW, PartKind.STUD)
_MEANT_METRIC = re.compile(r"\s*M\s*[0-9]", re.IGNORECASE)
_LIKE_A_CLASS = re.compile(r"[0-9]{1,2}\.[0-9]")
_STEEL_G_PER_MM3 = 7.85e-3
#: Judged by us: against a plain steel rod of thread and length, a bolt with its head weighs from
#: half (aluminium is lighter still, and is remarked upon) to five times (short, with a large head).
_LIGHTEST, _HEAVIEST = 0.5, 5.0


def faults(parts: Sequence[Part], known: Mapping[str, Part]) -> tuple[Fault, ...]:
    """Every fault that keeps these parts out of the catalogue; `known` are those already in it."""
    return tuple(placed.fault() for placed in placed_faults(parts, known))


def placed_faults(parts: Sequence[Part], known: Mapping[str, Part]) -> tuple[Placed, ...]:
    """The same, each with its place in the document."""
    own = [placed for check in _FAULTS for placed in check(parts)]
    contents = part_contents.placed_faults(tuple(_each(parts)), known)
    return (*own, *_successors(parts, known), *_rings(parts, known), *contents)


def oddities(parts: Sequence[Part]) -> tuple[str, ...]:
    """What is odd about parts that are taken, in words, each once."""
    found = (
        str(mark.says(says).fault())
        for mark, part in _each(parts)
        for check in _ODDITIES
        if (says := check(part))
    )
    return tuple(dict.fromkeys((*found, *_nearly_twice(parts))))


def _each(parts: Sequence[Part]) -> Iterator[tuple[Mark, Part]]:
    for n, part in enumerate(parts, start=1):
        yield Mark(f"parts[{n}]", f"part {part.number}"), part


def _numbers_once(parts: Sequence[Part]) -> Iterator[Placed]:
    numbers = ((part.number, mark.at("number")) for mark, part in _each(parts))
    yield from twice(numbers, "the number stands twice; each part has one line")


def _numbers_sound(parts: Sequence[Part]) -> Iterator[Placed]:
    for mark, part in _each(parts):
        if part.number != part.number.strip():
            yield mark.at("number").says("begins or ends with a blank; take the blank out")
        if part.number.startswith(RESERVED):
            prefix = next(one for one in RESERVED if part.number.startswith(one))
            yield mark.at("number").says(f"numbers that begin with {prefix} are the book's own")


def _texts_say_something(parts: Sequence[Part]) -> Iterator[Placed]:
    for mark, part in _each(parts):
        for member in _TEXTS:
            text = getattr(part, member)
            if text and not text.strip():
                yield mark.at(member).says("is only blanks; write words or leave it out")


_TEXTS = (
    "name", "thread", "drive", "head", "property_class", "coating", "superseded_by", "note",
    "only_in",
)  # fmt: skip


def _masses(parts: Sequence[Part]) -> Iterator[Placed]:
    for mark, part in _each(parts):
        if part.mass_g and Decimal(part.mass_g) <= 0:
            yield mark.at("mass_g").says("a mass is more than 0; leave it out if it is not known")


def _successors(parts: Sequence[Part], known: Mapping[str, Part]) -> Iterator[Placed]:
    numbers = {part.number for part in parts} | set(known)
    for mark, part in _each(parts):
        if part.superseded_by and part.superseded_by not in numbers:
            yield mark.at("superseded_by").says(
                f"neither the file nor the catalogue has a part {part.superseded_by}"
            )


def _rings(parts: Sequence[Part], known: Mapping[str, Part]) -> Iterator[Placed]:
    marks = {part.number: mark for mark, part in _each(parts)}
    together = {**known, **{part.number: part for part in parts}}
    follows = {
        number: [part.superseded_by]
        for number, part in together.items()
        if part.superseded_by in together
    }
    while ring := find_cycle(follows):
        del follows[ring[0]]
        here = next((number for number in ring if number in marks), None)
        if here is not None:
            at = ring.index(here)
            words = " to ".join((*ring[at:], *ring[:at], here))
            yield marks[here].at("superseded_by").says(f"supersession runs in a ring: {words}")


_FAULTS: tuple[Callable[[Sequence[Part]], Iterator[Placed]], ...] = (
    _numbers_once,
    _numbers_sound,
    _texts_say_something,
    _masses,
)


def _nearly_twice(parts: Sequence[Part]) -> Iterator[str]:
    first: dict[str, str] = {}
    for mark, part in _each(parts):
        plain = re.sub(r"[\s._-]+", "", part.number).casefold()
        other = first.setdefault(plain, part.number)
        if other != part.number:
            yield str(mark.says(f"is written almost like {other}; are they two parts?").fault())


def _metric(part: Part) -> Thread | None:
    try:
        return read_thread(part.thread)
    except UnknownThread:
        return None


def _thread_unreadable(part: Part) -> str:
    meant = bool(_MEANT_METRIC.match(part.thread))
    if meant and _metric(part) is None:
        return f"the thread {part.thread} is not one known here; its torques are not compared"
    return ""


def _thread_missing(part: Part) -> str:
    if part.kind in (*_THREADED, PartKind.NUT) and not part.thread:
        return "has no thread, so look-alikes and stray pieces cannot be told by it"
    return ""


def _length_missing(part: Part) -> str:
    if part.kind in _THREADED and part.length_mm is None:
        return "has no length, so a longer or shorter one is not told from it"
    return ""


def _class_unknown(part: Part) -> str:
    odd = _LIKE_A_CLASS.fullmatch(part.property_class.strip())
    if part.kind in _THREADED and odd and part.property_class.strip() not in PROPERTY_CLASSES:
        return f"the class {part.property_class} is not one known here"
    return ""


def _mass_unlikely(part: Part) -> str:
    thread = _metric(part)
    if part.kind not in _THREADED or thread is None or not (part.mass_g and part.length_mm):
        return ""
    rod_g = pi / 4 * thread.diameter_mm**2 * part.length_mm * _STEEL_G_PER_MM3
    if _LIGHTEST <= float(part.mass_g) / rod_g <= _HEAVIEST:
        return ""
    return f"{part.mass_g} g is hardly the mass of one {thread}x{part.length_mm} of steel"


_ODDITIES: tuple[Callable[[Part], str], ...] = (
    _thread_unreadable,
    _thread_missing,
    _length_missing,
    _class_unknown,
    _mass_unlikely,
)
