"""How far a zone is: what came off and is back, what was only loosened, what was never there."""

from __future__ import annotations

import pytest

from partsvc.domain.progress import Whereabouts
from partsvc.domain.zone_progress import PiecesNow, in_all, pieces_now


def stand(planned: int, *, loose: int = 0, missing: int = 0, off: int = 0) -> Whereabouts:
    secured = planned - off - loose
    return Whereabouts(
        planned=planned, secured=secured, loose=loose, own_hole=0, missing=missing, off=off
    )


@pytest.mark.parametrize(
    ("now", "most_off", "expected"),
    [
        # nothing done
        (stand(4), 0, {"still_on": 4}),
        # two off; then one of them back, loose; then all secured
        (stand(4, off=2), 2, {"still_on": 2, "off": 2, "came_off": 2}),
        (stand(4, off=1, loose=1), 2, {"still_on": 2, "off": 1, "loose": 1, "came_off": 2}),
        (stand(4), 2, {"still_on": 2, "secured_again": 2, "came_off": 2}),
        # only loosened: it never came off
        (stand(4, loose=4), 0, {"loose": 4}),
        # one was not there on arrival, the others came off
        (stand(4, missing=1, off=4), 4, {"missing": 1, "off": 3, "came_off": 3}),
        # more entries than pieces (a wrong part tried there): never more than belong there
        (stand(2), 5, {"secured_again": 2, "came_off": 2}),
    ],
)
def test_the_pieces_of_a_position_are_told_apart(
    now: Whereabouts, most_off: int, expected: dict[str, int]
) -> None:
    found = pieces_now(now, most_off=most_off)

    assert found == PiecesNow(pieces=now.planned, **expected)
    assert found.pieces == (
        found.still_on + found.secured_again + found.loose + found.off + found.missing
    )


def test_nothing_together_is_nothing() -> None:
    assert in_all(()) == PiecesNow()
