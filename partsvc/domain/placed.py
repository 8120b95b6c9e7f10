"""A fault with its place told twice: for the file it was read from, and for the people it concerns.

`path` is written as `records.decode` writes it ("steps[3].positions[1].stack[2].part", counted from
one), so that whoever read the document can say in which row it stands; `where` is in the words of
the workshop ("step 30, position KB-03").
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from partsvc.domain.records import Fault


@dataclass(frozen=True, slots=True)
class Placed:
    """One thing wrong, with its place in the document and in words."""

    path: str
    where: str
    says: str

    def fault(self) -> Fault:
        """The fault as people read it."""
        return Fault(self.where, self.says)


@dataclass(frozen=True, slots=True)
class Mark:
    """A place in a document, before anything is said about it."""

    path: str
    where: str

    def at(self, member: str, n: int | None = None) -> Mark:
        """A member of what stands here, or the n-th item of a member that is a list."""
        name = member if n is None else f"{member}[{n}]"
        return replace(self, path=f"{self.path}.{name}" if self.path else name)

    def called(self, words: str) -> Mark:
        """The same place, said more closely."""
        return replace(self, where=f"{self.where}, {words}" if self.where else words)

    def says(self, words: str) -> Placed:
        """What is wrong here."""
        return Placed(self.path, self.where, words)


def twice(names: Iterable[tuple[str, Mark]], says: str) -> Iterator[Placed]:
    """Every name that was met before; `says` may name it and where it first stood."""
    first: dict[str, Mark] = {}
    for name, mark in names:
        if name in first:
            yield mark.says(says.format(name=name, first=first[name].where))
        else:
            first[name] = mark
