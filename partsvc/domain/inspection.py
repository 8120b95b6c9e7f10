"""How far the looks at used pieces reach: one look lets one piece go back once.

Read off the entries. Nobody can tell the pieces of one lot apart, so the loosest reading that the
book allows is taken: a piece that leaves a position again is taken to be the one nobody looked at.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from partsvc.domain.ledger import Entry, Posted
from partsvc.domain.places import Condition, Place, PlaceKind, loose
from partsvc.domain.reuse import under_last_names


@dataclass(slots=True)
class Waiting:
    """What lies loose at one position: put in by hand, or only loosened and never taken out."""

    fitted: dict[Condition, int] = field(default_factory=lambda: defaultdict(int))
    loosened: dict[str, int] = field(default_factory=lambda: defaultdict(int))

    def _leaves(self, entry: Entry) -> None:
        """Put back on, the fitted ones are taken first; taken out, the loosened ones."""
        quantity, lot = entry.quantity, entry.source.lot
        back_on = entry.target.place.kind is PlaceKind.SECURED
        if not back_on:
            quantity -= self._less_loosened(lot, quantity)
        for condition in (entry.source.condition, *Condition):
            gone = min(quantity, self.fitted[condition])
            self.fitted[condition] -= gone
            quantity -= gone
        self._less_loosened(lot, quantity)

    def _less_loosened(self, lot: str, quantity: int) -> int:
        gone = min(quantity, self.loosened[lot])
        self.loosened[lot] -= gone
        return gone

    def take(self, entry: Entry, here: Place) -> None:
        """Follow one entry of the part."""
        if entry.source.place == here and entry.target.place != here:
            self._leaves(entry)
        elif entry.target.place == here and entry.source.place.kind is PlaceKind.SECURED:
            self.loosened[entry.target.lot] += entry.quantity
        elif entry.target.place == here and entry.source.place != here:
            self.fitted[entry.source.condition] += entry.quantity


def waiting(posted: Iterable[Posted], part: str, position: str) -> Waiting:
    """What lies loose at a position now, told apart by how it came to lie there."""
    here = loose(position)
    found = Waiting()
    for entry in under_last_names(posted):
        if entry.part == part:
            found.take(entry, here)
    return found


def looks_used(posted: Iterable[Posted], part: str, lot: str) -> int:
    """How many looks at pieces of a lot were used up by putting such pieces back.

    A piece taken out again before it was secured gives its look back.
    """
    looks = _Looks()
    for entry in under_last_names(posted):
        if entry.part == part and entry.source.lot == lot:
            looks.follow(entry)
    return looks.used


@dataclass(slots=True)
class _Looks:
    """The looks used up at all positions, and what lies loose there on account of them."""

    used: int = 0
    fitted: dict[Place, int] = field(default_factory=lambda: defaultdict(int))
    loosened: dict[Place, int] = field(default_factory=lambda: defaultdict(int))

    def follow(self, entry: Entry) -> None:
        source, target, quantity = entry.source.place, entry.target.place, entry.quantity
        match source.kind, target.kind:
            case ((PlaceKind.BAG | PlaceKind.OWN_HOLE | PlaceKind.WITH), PlaceKind.LOOSE):
                if entry.source.condition is Condition.USED:
                    self.fitted[target] += quantity
                    self.used += quantity
            case PlaceKind.SECURED, PlaceKind.LOOSE:
                self.loosened[target] += quantity
            case PlaceKind.LOOSE, PlaceKind.SECURED:
                quantity -= _less(self.fitted, source, quantity)
                self.used += _less(self.loosened, source, quantity)
            case PlaceKind.LOOSE, PlaceKind.LOOSE:
                return
            case PlaceKind.LOOSE, _:
                quantity -= _less(self.loosened, source, quantity)
                self.used -= _less(self.fitted, source, quantity)
            case _:
                return


def _less(at: dict[Place, int], place: Place, quantity: int) -> int:
    """Take so many away from what is noted there, as far as it goes; answers how many."""
    gone = min(at[place], quantity)
    at[place] -= gone
    return gone
