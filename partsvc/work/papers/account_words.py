"""How both sides of a part's account read on paper: where pieces came from, went, and are now."""

from __future__ import annotations

from collections.abc import Mapping

from partsvc.domain.places import Gate, PlaceKind

CAME_IN = {
    Gate.OPENING.value: "on the vehicle",
    Gate.RECEIPT.value: "delivered",
    Gate.UNBOOKED_RECEIPT.value: "delivered, not booked",
    Gate.STOCK_CORRECTION.value: "by correction of the store",
    Gate.ADDITION.value: "more than the book knew",
    Gate.PLAN_CORRECTION.value: "by correction of the plan",
    Gate.STRAY.value: "found, of unknown home",
    Gate.COUNT_OVER.value: "counted more",
    Gate.OTHER_JOB.value: "from another job",
    Gate.UNTRACKED_TEMPORARY.value: "put on",
    Gate.UNPACKED.value: "out of a kit",
    PlaceKind.STOCK.value: "from the store",
    PlaceKind.TOOL_STORE.value: "from the tool store",
}
WENT_OUT = CAME_IN | {
    Gate.OPENING.value: "not on the vehicle after all",
    Gate.RECEIPT.value: "sent back",
    Gate.OTHER_JOB.value: "to another job",
    Gate.UNTRACKED_TEMPORARY.value: "taken off",
    Gate.UNPACKED.value: "unpacked",
    PlaceKind.STOCK.value: "back to the store",
    PlaceKind.TOOL_STORE.value: "back to the tool store",
}
IS_NOW = {
    PlaceKind.SECURED.value: "secured",
    PlaceKind.LOOSE.value: "loose",
    PlaceKind.OWN_HOLE.value: "in their own holes",
    PlaceKind.BAG.value: "in bags",
    PlaceKind.ON_VEHICLE.value: "on the vehicle",
    PlaceKind.WITH.value: "with a person",
    PlaceKind.AWAY.value: "away",
    PlaceKind.SCRAP.value: "discarded",
    PlaceKind.MISSING.value: "missing on arrival",
    PlaceKind.LOST.value: "lost",
    PlaceKind.STOCK.value: "in the store",
    PlaceKind.TOOL_STORE.value: "in the tool store",
}


def words_of(name: str, words: Mapping[str, str]) -> str:
    """A door or place in words; one of another account, by its own name."""
    return words.get(name, name.replace("-", " "))


def came_and_went(came: Mapping[str, int], went: Mapping[str, int], total: int) -> str:
    """All that came into the job, less all that left it."""
    first = " + ".join(f"{number} {words_of(door, CAME_IN)}" for door, number in came.items())
    gone = "".join(f" − {number} {words_of(door, WENT_OUT)}" for door, number in went.items())
    return f"{first}{gone} = {total}"


def where_now(now: Mapping[str, int], total: int) -> str:
    """Where all of it is now."""
    there = " + ".join(f"{number} {words_of(place, IS_NOW)}" for place, number in now.items())
    return f"{there} = {total}" if there else "nothing left of it"
