"""The invented figures are plausible: torques below the bolt's own limit, masses of real steel."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterator
from decimal import Decimal

import pytest
from scenario_files import PANEL_PARTS, PARTS, POSITIONS, parts_at

from partsvc.domain.parts import Part
from partsvc.domain.plan import Position, Stage
from partsvc.domain.threads import read_thread
from partsvc.domain.tightening import doubtful

STEEL_G_PER_MM3 = 7.85e-3


def stages_with_torque() -> Iterator[tuple[Position, Stage]]:
    yield from ((p, s) for p in POSITIONS for s in p.stages if s.torque_nm)


def test_every_torque_says_that_it_is_invented() -> None:
    sources = Counter(stage.source for _, stage in stages_with_torque())

    assert set(sources) == {"invented for this demo; the maker's value governs"}
    assert sources.total() >= 30


# Torque at 90 % of yield, friction 0.12, VDI 2230 table A1, coarse threads: from memory.
# M12x1.5 lies between coarse M12 and M12x1.25, so coarse M12 is the stricter bound.
MOST_NM = {
    ("M6", "8.8"): 10.1,
    ("M8", "8.8"): 24.6,
    ("M10", "8.8"): 48,
    ("M10", "10.9"): 71,
    ("M12x1.5", "10.9"): 123,
}


def screwed(position: Position) -> Part | None:
    return next((p for p in parts_at(position) if p.length_mm and p.property_class), None)


def test_torques_stay_below_what_the_bolt_is_good_for() -> None:
    stated = [(screwed(p), float(s.torque_nm)) for p, s in stages_with_torque()]
    share = {
        (bolt.number, nm): nm / MOST_NM[bolt.thread, bolt.property_class]
        for bolt, nm in stated
        if bolt is not None
    }

    assert len(share) >= 12
    assert {what: part for what, part in share.items() if not 0.4 <= part <= 1.0} == {}


def test_nobody_would_doubt_a_stated_torque() -> None:
    doubts = [
        doubtful(read_thread(bolt.thread), bolt.property_class, Decimal(stage.torque_nm))
        for position, stage in stages_with_torque()
        if (bolt := screwed(position)) is not None
    ]

    assert len(doubts) >= 25
    assert set(doubts) == {None}


def weight_bounds_g(part: Part) -> tuple[float, float]:
    """From a bare core with no head to a full shank with the largest head there is.

    Threads as ISO 261 gives them; a flange head is at most 2.2 d wide and about 0.75 d high.
    """
    d, _, fine = part.thread[1:].partition("x")
    coarse = {"M5": 0.8, "M6": 1.0, "M8": 1.25, "M10": 1.5, "M12": 1.75}
    pitch = float(fine) if fine else coarse[part.thread]
    core, full = (float(d) - 1.22687 * pitch), float(d)
    area = math.pi / 4 * STEEL_G_PER_MM3
    assert part.length_mm is not None
    head = area * (2.2 * full) ** 2 * 0.75 * full
    return area * core**2 * part.length_mm, area * full**2 * part.length_mm + head


@pytest.mark.parametrize("parts", [PARTS, PANEL_PARTS], ids=["van", "panel"])
def test_bolts_weigh_what_their_steel_weighs(parts: dict[str, Part]) -> None:
    metric = [p for p in parts.values() if p.length_mm and re.fullmatch(r"M[\d.x]+", p.thread)]
    bounds = {p.number: weight_bounds_g(p) for p in metric}

    assert metric
    assert [
        p.number for p in metric if not bounds[p.number][0] < float(p.mass_g) < bounds[p.number][1]
    ] == []


# Mass per piece in g: DIN 985 nuts as a public norms page lists them; washers computed from the
# dimensions of ISO 7089.
PUBLISHED_G = {
    ("nut", "M6"): 2.4,
    ("nut", "M8"): 5.1,
    ("nut", "M10"): 10.6,
    ("nut", "M12x1.5"): 17.2,
    ("washer", "M6"): 1.016,
    ("washer", "M8"): 1.829,
    ("washer", "M10"): 3.573,
    ("washer", "M12"): 6.273,
}


def test_nuts_and_washers_weigh_what_the_lists_say() -> None:
    plain = [p for p in PARTS.values() if (p.kind, p.thread) in PUBLISHED_G and p.drive != ""]
    plain += [p for p in PARTS.values() if p.name.startswith("Washer")]

    assert len(plain) == len(PUBLISHED_G)
    for part in plain:
        assert float(part.mass_g) == pytest.approx(PUBLISHED_G[part.kind, part.thread], rel=0.03)
