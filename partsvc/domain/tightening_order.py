"""In which order the bolts of one joint are tightened, and loosened the other way round.

Where the maker gives an order, that one holds; these are the patterns for joints without one.
"""

from collections.abc import Iterator, Sequence
from typing import Final, TypeAlias, TypeVar

Place = TypeVar("Place")
GridPlace: TypeAlias = tuple[int, int]

# ASME PCC-1 legacy cross pattern, recalled (12 bolts seen in a trade page): the bolts at which
# its groups of four begin, for so many groups. The order of the groups is a mere convention.
_GROUP_STARTS: Final = {
    2: (1, 2),
    3: (1, 2, 3),
    4: (1, 3, 2, 4),
    5: (1, 3, 5, 2, 4),
    6: (1, 4, 2, 5, 3, 6),
}


def cross_pattern(bolts: int) -> tuple[int, ...]:
    """The order for bolts on a circle, numbered clockwise from 1: always across, never round.

    Multiples of four go in crosses of four, other even numbers in opposite pairs; an odd number
    goes on by nearly half a turn each time (common practice). ValueError without any bolt.
    """
    if bolts < 1:
        raise ValueError("a joint has at least one bolt")
    if bolts % 4 == 0:
        quarter = bolts // 4
        starts = _GROUP_STARTS.get(quarter, _odd_then_even(quarter))
        return tuple(start + turn * quarter for start in starts for turn in (0, 2, 1, 3))
    half = bolts // 2
    if bolts % 2 == 0:
        return tuple(bolt for start in _odd_then_even(half) for bolt in (start, start + half))
    return tuple(1 + step * max(half, 1) % bolts for step in range(bolts))


def row_pattern(rows: int, columns: int) -> tuple[GridPlace, ...]:
    """The order for bolts in rows, as (row, column) from 1: from the centre outwards, side by side.

    Every bolt is followed by the one opposite the centre; the corners come last. Common practice
    for trays, covers and sumps. ValueError without any bolt.
    """
    if rows < 1 or columns < 1:
        raise ValueError("a joint has at least one row and one column")
    places = [(row, column) for row in range(1, rows + 1) for column in range(1, columns + 1)]
    # Doubled distances from the centre, so that they are whole numbers.
    first_of_pair = sorted(
        (place for place in places if _from_centre(place, rows, columns) <= (0, 0)),
        key=lambda place: (_reach(place, rows, columns), place),
    )
    return tuple(place for first in first_of_pair for place in _with_opposite(first, rows, columns))


def loosening_order(order: Sequence[Place]) -> tuple[Place, ...]:
    """The order for taking off: the reverse, so corners and outer bolts first (common practice)."""
    return tuple(reversed(order))


def _odd_then_even(last: int) -> tuple[int, ...]:
    return (*range(1, last + 1, 2), *range(2, last + 1, 2))


def _from_centre(place: GridPlace, rows: int, columns: int) -> GridPlace:
    return 2 * place[0] - rows - 1, 2 * place[1] - columns - 1


def _reach(place: GridPlace, rows: int, columns: int) -> int:
    down, across = _from_centre(place, rows, columns)
    return down * down + across * across


def _with_opposite(place: GridPlace, rows: int, columns: int) -> Iterator[GridPlace]:
    opposite = (rows + 1 - place[0], columns + 1 - place[1])
    yield place
    if opposite != place:
        yield opposite
