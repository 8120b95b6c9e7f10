"""Parts a person would confuse: the long bolt that bottoms out in the short one's hole.

Same kind, thread and drive feel alike in a glove; length, strength and coating are what gets
mixed up. Which parts are look-alikes is said on their tags and checklists, and they are kept
apart. Two parts of the very same shape are look-alikes as well: only their numbers differ.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final, TypeAlias

from partsvc.domain.threads import Thread, UnknownThread, read_thread


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """What hand, eye and caliper can find on a part; an empty text or None means "not known".

    `thread` as M8 or M8x1 (others as written); `drive` with its size, as "hex 13" or "T30".
    """

    kind: str
    thread: str = ""
    drive: str = ""
    head: str = ""
    length_mm: int | None = None
    property_class: str = ""
    coating: str = ""

    def __str__(self) -> str:
        """As in the trade: M8x30; the kind with its length where no thread is known."""
        name = _thread_name(self.thread) or self.kind
        if self.length_mm is None:
            return name
        return f"{name}x{self.length_mm}" if self.thread else f"{name} of {self.length_mm} mm"


# What one thing more or less counts when a leftover is held against a shortage. Judgement, laid
# out so that another thread outweighs all that people really mix up.
UNLIKE_KINDS: Final = 1000
OTHER_THREAD: Final = 10
OTHER_PITCH: Final = 2
OTHER_DRIVE: Final = 8
OTHER_HEAD: Final = 3
OTHER_CLASS: Final = 2
OTHER_COATING: Final = 1
NOT_KNOWN: Final = 1
#: So much difference in length counts 1.
LENGTH_STEP_MM: Final = 5
#: A pair further apart than this explains nothing.
LIKELY_WITHIN: Final = 9

_SIZED: Final = re.compile(r"(.*?)\s*([0-9]+)(?:\s*mm)?", re.ASCII)


def groups(shapes: Mapping[str, Shape]) -> tuple[frozenset[str], ...]:
    """The sets of parts a person would confuse, by name; parts that are like no other are in none.

    Like are the same kind, nominal diameter and drive, whatever the pitch: a caliper cannot tell
    coarse from fine. Without thread and drive the head decides; a part of which nothing is known
    is like none.
    """
    alike: dict[_Feel, set[str]] = {}
    for name in sorted(shapes):
        feel = _feel(shapes[name])
        if any(feel[1:]):
            alike.setdefault(feel, set()).add(name)
    return tuple(frozenset(names) for names in alike.values() if len(names) > 1)


def difference(a: Shape, b: Shape) -> str:
    """How a differs from b, in words: "same thread and drive, 5 mm longer: M8x30 against M8x25"."""
    same = _listed(_same(a, b))
    others = _others(a, b) or ("no difference to be seen, compare the part numbers",)
    start = (f"same {same}",) if same else ()
    return f"{', '.join((*start, *others))}: {a} against {b}"


def distance(a: Shape, b: Shape) -> int:
    """How unlikely it is that a piece of shape a was taken for, or belongs to, shape b; 0 is alike.

    Beyond LIKELY_WITHIN the one does not explain the other.
    """
    if _family(a.kind) != _family(b.kind):
        return UNLIKE_KINDS
    return (
        _thread_distance(a.thread, b.thread)
        + _drive_distance(a.drive, b.drive)
        + _text_distance(a.head, b.head, OTHER_HEAD)
        + _length_distance(a.length_mm, b.length_mm)
        + _text_distance(a.property_class, b.property_class, OTHER_CLASS)
        + _text_distance(a.coating, b.coating, OTHER_COATING)
    )


#: Kind, nominal diameter, drive, and the head where neither is known.
_Feel: TypeAlias = tuple[str, str, str, str]


def _feel(shape: Shape) -> _Feel:
    size, drive = _size(shape.thread), _plain(shape.drive)
    head = "" if size or drive else _plain(shape.head)
    return _family(shape.kind), size, drive, head


def _family(kind: str) -> str:
    """Catalogues call one and the same thing a bolt or a screw."""
    return "bolt" if _plain(kind) == "screw" else _plain(kind)


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())


def _metric(thread: str) -> Thread | None:
    try:
        return read_thread(thread)
    except UnknownThread:
        return None


def _thread_name(thread: str) -> str:
    return str(_metric(thread) or thread.strip())


def _size(thread: str) -> str:
    """The nominal diameter; of a thread that is not metric all that is known."""
    metric = _metric(thread)
    return f"m{metric.diameter_mm:g}" if metric else _plain(thread)


def _same(a: Shape, b: Shape) -> tuple[str, ...]:
    pairs = (
        ("thread", _thread_name(a.thread), _thread_name(b.thread)),
        ("drive", a.drive, b.drive),
        ("head", a.head, b.head),
    )
    return tuple(name for name, one, other in pairs if _plain(one) == _plain(other) != "")


def _others(a: Shape, b: Shape) -> tuple[str, ...]:
    pairs = (
        ("drive", a.drive, b.drive),
        ("head", a.head, b.head),
        ("class", a.property_class, b.property_class),
        ("coating", a.coating, b.coating),
    )
    found = (
        _other_kind(a, b),
        _other_thread(a, b),
        _other_length(a, b),
        *(
            f"{name} {one} instead of {other}"
            for name, one, other in pairs
            if _told_apart(one, other)
        ),
    )
    return tuple(words for words in found if words)


def _other_kind(a: Shape, b: Shape) -> str:
    return f"a {a.kind}, not a {b.kind}" if _family(a.kind) != _family(b.kind) else ""


def _other_thread(a: Shape, b: Shape) -> str:
    if not _told_apart(_thread_name(a.thread), _thread_name(b.thread)):
        return ""
    if _size(a.thread) == _size(b.thread):
        return "another pitch, which a caliper cannot tell (use a pitch gauge)"
    return "another thread"


def _other_length(a: Shape, b: Shape) -> str:
    if a.length_mm is None or b.length_mm is None or a.length_mm == b.length_mm:
        return ""
    longer = a.length_mm - b.length_mm
    return f"{abs(longer)} mm {'longer' if longer > 0 else 'shorter'}"


def _told_apart(one: str, other: str) -> bool:
    """Both are known and they differ."""
    return bool(one and other) and _plain(one) != _plain(other)


def _listed(names: Iterable[str]) -> str:
    *before, last = [*names] or [""]
    return f"{', '.join(before)} and {last}" if before else last


def _text_distance(one: str, other: str, differs: int) -> int:
    if _plain(one) == _plain(other):
        return 0
    return differs if one and other else NOT_KNOWN


def _thread_distance(one: str, other: str) -> int:
    same_size = _size(one) == _size(other)
    return _text_distance(
        _thread_name(one), _thread_name(other), OTHER_PITCH if same_size else OTHER_THREAD
    )


def _drive_distance(one: str, other: str) -> int:
    """Sizes of one drive differ by their number, as 13 from 10; other drives by more."""
    sized, other_sized = _SIZED.fullmatch(_plain(one)), _SIZED.fullmatch(_plain(other))
    if sized and other_sized and sized[1] == other_sized[1]:
        return abs(int(sized[2]) - int(other_sized[2]))
    return _text_distance(one, other, OTHER_DRIVE)


def _length_distance(one_mm: int | None, other_mm: int | None) -> int:
    """One for every started LENGTH_STEP_MM, so that no difference counts for nothing."""
    if one_mm == other_mm:
        return 0
    if one_mm is None or other_mm is None:
        return NOT_KNOWN
    return -(-abs(one_mm - other_mm) // LENGTH_STEP_MM)
