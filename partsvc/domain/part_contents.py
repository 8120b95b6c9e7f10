"""What is wrong with what a kit or an assembled part is said to hold."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from partsvc.domain.parts import Part
from partsvc.domain.placed import Mark, Placed, twice

Together = Mapping[str, Part]


def placed_faults(
    marked: Sequence[tuple[Mark, Part]], known: Mapping[str, Part]
) -> tuple[Placed, ...]:
    """Every fault of contents; `known` are the parts that are in the catalogue already."""
    together = {**known, **{part.number: part for _, part in marked}}
    return tuple(
        placed
        for mark, part in marked
        for check in _CHECKS
        for placed in check(mark, part, together)
    )


def _kit(part: Part | None) -> bool:
    return part is not None and bool(part.contents) and not part.captive


def _each(mark: Mark, part: Part) -> Iterator[tuple[Mark, str, Mark]]:
    for n, content in enumerate(part.contents, start=1):
        here = mark.at("contents", n)
        yield here, content.part, here.at("part")


def _known(mark: Mark, part: Part, together: Together) -> Iterator[Placed]:
    for _, number, at in _each(mark, part):
        if number not in together:
            yield at.says(f"neither the file nor the catalogue has a part {number}")
        if ";" in number:
            yield at.says(f"{number} has a semicolon, which parts one content from the next")
    yield from twice(
        ((number, at) for _, number, at in _each(mark, part)),
        "{name} stands twice; say once how many there are",
    )


def _not_in_one_another(mark: Mark, part: Part, together: Together) -> Iterator[Placed]:
    for _, number, at in _each(mark, part):
        held = together.get(number)
        if number == part.number:
            yield at.says("it cannot hold itself")
        elif _kit(held):
            yield at.says(f"{number} is a kit itself; write down what that one holds instead")
        elif held is not None and held.contents and part.captive:
            yield at.says(f"{number} is assembled itself; write down what that one is made of")
    if part.contents:
        for other in together.values():
            inside = any(content.part == part.number for content in other.contents)
            if inside and other.number != part.number and (_kit(part) or other.captive):
                yield mark.at("contents").says(
                    f"{other.number} holds it, and what is held has no contents of its own; write "
                    f"them down at {other.number}"
                )


def _captive(mark: Mark, part: Part, together: Together) -> Iterator[Placed]:
    if part.captive and not part.contents:
        yield mark.at("captive").says("is one assembled piece, but of what is not said")


def _not_superseded_by_a_kit(mark: Mark, part: Part, together: Together) -> Iterator[Placed]:
    if _kit(together.get(part.superseded_by)):
        yield mark.at("superseded_by").says(
            f"{part.superseded_by} is a kit; name the part in it that takes this one's place"
        )
    if _kit(part):
        for other in together.values():
            if other.superseded_by == part.number:
                yield mark.at("contents").says(
                    f"it takes the place of {other.number}, which a kit cannot; let the part in it "
                    "do so"
                )


def _only_in(mark: Mark, part: Part, together: Together) -> Iterator[Placed]:
    if not part.only_in:
        return
    at, kit = mark.at("only_in"), together.get(part.only_in)
    if kit is None:
        yield at.says(f"neither the file nor the catalogue has a part {part.only_in}")
    elif not _kit(kit):
        yield at.says(f"{part.only_in} is no kit; write down there what it holds")
    elif not any(content.part == part.number for content in kit.contents):
        yield at.says(f"the kit {part.only_in} does not hold it")


_CHECKS: tuple[Callable[[Mark, Part, Together], Iterator[Placed]], ...] = (
    _known,
    _not_in_one_another,
    _captive,
    _not_superseded_by_a_kit,
    _only_in,
)
