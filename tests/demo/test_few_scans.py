"""What the same job takes the long way and in few scans: the table is counted, and it is short."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

import pytest
from played_demo import Played

import seed
from seed.play.tally import ROWS, Cost, Row, scans, taps

pytestmark = pytest.mark.xdist_group("demo")

README = (Path(seed.__file__).parents[1] / "README.md").read_text("utf-8")
MOST_REFIT_ACTS = 180
MOST_SEEN_SCANS, MOST_PHOTOS = 50, 5
# The clip that broke and was left out, found before the road test.
EXCHANGED_LATER = 1


def printed_table(played: Played) -> list[str]:
    """The lines of the table, from its heading to what a tap is."""
    first = next(at for at, line in enumerate(played.said) if line.startswith("What the same job"))
    return list(played.said[first : first + 5 + len(ROWS)])


def table(played: Played) -> dict[str, tuple[Cost, Cost]]:
    """The long way and the short one, by row."""
    found: dict[str, tuple[Cost, Cost]] = {}
    for line in printed_table(played):
        name, *figures = re.split(r" {2,}", line.strip())
        if len(figures) == 6:
            n = [int(figure) for figure in figures]
            found[name] = Cost(*n[:3]), Cost(*n[3:])
    return found


def test_the_whole_refit_takes_few_acts_and_few_looks_into_bags(played: Played) -> None:
    refit = table(played)[Row.REFIT][1]
    seen = [act["request"]["bags"] for act in played.of_kind("seen-empty")]
    bags = {bag for one in seen for bag in one}

    assert len(bags) >= 45
    assert refit.acts + len(seen) <= MOST_REFIT_ACTS
    assert len(seen) <= MOST_PHOTOS or sum(map(len, seen)) <= MOST_SEEN_SCANS


def counted(acts: Iterable[Mapping[str, Any]]) -> Cost:
    """What these acts of a ledger took, by what was sent."""
    cost = Cost()
    for act in acts:
        cost += Cost(1, scans(act["request"]), taps(act["request"]))
    return cost


def by_row(acts: list[dict[str, Any]], desk: str) -> dict[str, Cost]:
    """The acts of a ledger by the work they belong to: the plug's hand-over parts the shifts."""
    shift = next(at for at, act in enumerate(acts) if act["kind"] == "hand-over")
    rows: dict[Row, list[dict[str, Any]]] = {row: [] for row in ROWS}
    for at, act in enumerate(acts):
        if act["kind"] == "open":
            continue
        by = Row.DESK if act["by"] == desk else Row.STRIP if at < shift else Row.REFIT
        rows[Row.SEEN if act["kind"] == "seen-empty" else by].append(act)
    return {row: counted(found) for row, found in rows.items()}


def test_the_long_way_is_counted_from_its_own_ledger(played: Played) -> None:
    acts = played.ledger("ledger-long-way.jsonl")
    (desk,) = {act["by"] for act in acts if act["kind"] == "issue"}

    again = by_row(acts, desk)

    shown = {row: costs[0] for row, costs in table(played).items() if row != "together"}
    assert again == shown


def test_the_short_way_and_what_went_wrong_are_all_there_is_in_its_ledger(played: Played) -> None:
    shown = table(played)
    (beside,) = re.findall(r"([0-9]+) acts for what did not go as planned", "".join(played.said))
    recorded = Counter(act["kind"] for act in played.acts if act["kind"] != "open")

    assert shown["together"][1].acts + int(beside) == recorded.total()
    assert shown[Row.DESK][1].acts == recorded["exchange"] - EXCHANGED_LATER
    assert shown[Row.SEEN][1].acts == recorded["seen-empty"]


def test_the_rows_add_up(played: Played) -> None:
    shown = table(played)
    whole = shown.pop("together")

    for way in (0, 1):
        assert sum((costs[way] for costs in shown.values()), Cost()) == whole[way]


def test_few_scans_are_few(played: Played) -> None:
    shown = table(played)

    for long, short in shown.values():
        assert short.acts < long.acts
        assert short.taps < long.taps
    long, short = shown["together"]
    assert short.scans < long.scans


def test_the_table_in_the_readme_is_the_one_the_demo_prints(played: Played) -> None:
    assert "\n".join(line.rstrip() for line in printed_table(played)) in README


# What counts as a scan, and as a tap


@pytest.mark.parametrize(
    ("sent", "cost"),
    [
        ({"kind": "secure", "position": "FS-01", "bag": "7K3M9HWZ"}, (1, 2)),
        ({"kind": "secure", "step": "FS", "tool": "W-12", "setting": "20 N m"}, (0, 4)),
        ({"kind": "exchange", "bag": "7K3M9HWZ", "old_parts": "4TPAVV4F"}, (2, 1)),
        ({"kind": "seen-empty", "bags": ["7K3M9HWZ"]}, (1, 1)),
        ({"kind": "seen-empty", "bags": ["7K3M9HWZ", "4TPAVV4F"]}, (1, 1)),
        ({"kind": "stow", "tags": ["7K3M9HWZ", "4TPAVV4F"], "at": "rack 2"}, (2, 2)),
        ({"kind": "confirm", "positions": ["FS-01", "FS-02"]}, (0, 3)),
        ({"kind": "hold", "hold": "h", "values": [{"name": "gap"}] * 3, "witness": "p"}, (0, 6)),
    ],
)
def test_a_scan_is_a_tag_or_a_photo_and_a_tap_is_what_no_scan_said(
    sent: dict[str, Any], cost: tuple[int, int]
) -> None:
    body = {"key": "k", "done_at": "2030-01-01T08:00:00Z"} | sent

    assert (scans(body), taps(body)) == cost
