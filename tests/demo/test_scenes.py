"""What does not go as planned in the demonstration is in its ledger, and told in a line or two."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest
from played_demo import Played

from partsvc.domain.tagcode import shown
from seed.play.account import TWO_LINES
from seed.play.scenes_strip import FOOT_STAYS

pytestmark = pytest.mark.xdist_group("demo")


def effects(played: Played, kind: str) -> list[dict[str, Any]]:
    return [one for act in played.acts for one in act["effects"] if one["effect"] == kind]


def sent(played: Played, kind: str, member: str) -> list[Any]:
    """What was sent under one member by all acts of a kind that have it."""
    requests = [act["request"] for act in played.of_kind(kind)]
    return [one[member] for one in requests if member in one]


# Each told once


@pytest.mark.parametrize(
    ("title", "words"),
    [
        ("proved dead too early", "of the 10 minutes after step 50"),
        ("the shift is over", "the shift ended (14:00"),
        ("an apprentice at high voltage", "only with somebody standing by"),
        ("a clip broke, its foot in the cavity", "still in the vehicle: take it out"),
        ("look-alikes in a tray with numbered pockets", "Pocket 1: rear edge"),
        ("in their own holes, no bag", "2 bolts at upper flange"),
        ("a soaked tag", "4 pieces counted blind, as the book has it"),
        ("another's lock is on", "brings voltage back"),
        ("the foot of the clip", "taken out of the cavity"),
        ("second looks, told by another", "is critical: whoever looked records it"),
        ("a screw is lost", "searched by two people"),
        ("asked before release", "Vehicle searched for tools, rags and fragments"),
        ("on the vehicle's record", "1 Screw M6x16 button (KF-1214), step 40"),
    ],
)
def test_it_is_told_in_two_lines(played: Played, title: str, words: str) -> None:
    told = played.told(title)

    assert words in told
    assert len(told) <= TWO_LINES


def test_out_of_the_network_one_act_is_amended_and_one_dismissed(played: Played) -> None:
    told = [line for line in played.said if line.startswith("  out of the network: ")]
    before = played.document("reconciliation-before.json")

    assert [line.rpartition("Kept, and ")[2] for line in told] == [
        "dismissed: it was scanned twice.",
        "amended when they were off.",
    ]
    assert len(effects(played, "dismissed")) == 1
    assert len(sent(played, "remove", "amends")) == 1
    assert [one for one in before["findings"] if one["kind"] == "refused-act"] == []


# And in the ledger


def test_both_locks_are_on_before_the_first_comes_off(played: Played) -> None:
    locks = [act for act in played.acts if act["kind"] in ("lock", "unlock")]

    assert [act["kind"] for act in locks] == ["lock", "lock", "unlock", "unlock"]
    assert {act["by"] for act in locks[:2]} == {act["by"] for act in locks[2:]}
    assert len({act["by"] for act in locks}) == 2


def test_what_an_apprentice_did_at_high_voltage_names_who_stood_by(played: Played) -> None:
    supervised = [act for act in played.acts if "supervised_by" in act]

    assert {act["step"] for act in supervised} == {"measure-cover"}
    assert all(act["supervised_by"] != act["by"] for act in supervised)


def test_the_foot_of_the_clip_is_taken_out_before_its_liner_is_back(played: Played) -> None:
    (left,) = effects(played, "rest-left")
    at = {(act["kind"], act.get("step")): act["seq"] for act in played.acts}
    (found,) = played.of_kind("find")

    assert (left["position"], left["lost"]) == (FOOT_STAYS, False)
    assert found["seq"] < at["secure", "liner-right"]


def test_the_screw_that_fell_behind_the_seat_is_lost_searched_for_and_decided_on(
    played: Played,
) -> None:
    (lost,) = played.of_kind("lose")
    searches = [act for act in played.of_kind("search") if act["request"].get("position")]
    decided = [act for act in played.of_kind("accept") if act["request"]["finding"] == "lost"]

    assert len({act["by"] for act in searches}) == len(searches) == 2
    assert len(decided) == 1
    assert decided[0]["by"] not in {act["by"] for act in (lost, *searches)}


def test_the_soaked_tag_is_dead_and_its_bag_has_another(played: Played) -> None:
    (retag,) = played.of_kind("retag")
    counted = [one for one in retag["effects"] if one["effect"] == "count-taken"]

    assert {one["bag"] for one in counted} == {retag["request"]["into"]}
    assert [one for one in counted if one["counted"] != one["book"]] == []
    later = [act for act in played.acts if act["seq"] > retag["seq"]]
    assert not [act for act in later if act["request"].get("bag") == retag["request"]["bag"]]
    assert shown(retag["request"]["bag"]) != shown(retag["request"]["into"])


def test_old_parts_are_thrown_out_with_the_release(played: Played) -> None:
    (release,) = played.of_kind("release")
    gone = Counter(entry["to"]["place"] for entry in release["entries"])

    assert set(gone) == {"scrap:bin"}
    assert played.of_kind("discard") == []
    (released,) = [one for one in release["effects"] if one["effect"] == "released"]
    questions = ("vehicle_searched", "bay_searched", "panels_back", "tools_complete")
    assert all(released[question] for question in questions)
