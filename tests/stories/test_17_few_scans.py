"""Few scans: a step at once, a setting said once, stages while still loose; a lost tag."""

from __future__ import annotations

import pytest
from http_bench import HttpBench, Json
from ledger_bench import position, step
from vans import all_seen, finding, opened, warned

STAGES = [
    {"id": "torque", "words": "110 N·m", "torque_nm": "110", "source": "invented"},
    {"id": "angle", "words": "and 90°", "angle_deg": 90, "source": "invented"},
]
SAID = {"tool": "wrench 7", "setting": "110 N·m"}


def bolts(ident: str, sets: int, **more: object) -> dict[str, object]:
    """Bolts that go back and are tightened to one setting."""
    stages = [{"id": "tight", "words": "110 N·m", "torque_nm": "110", "source": "invented"}]
    how = {"record": "setting", "stages": stages, **more}
    return position(ident, {"part": "B"}, sets=sets, **how)  # type: ignore[arg-type]


@pytest.fixture
def job(shop: HttpBench) -> str:
    """A frame with 24 bolts in three rows, its clips, and what wants its own look."""
    small = [{"id": "tight", "words": "9 N·m", "torque_nm": "9", "source": "invented"}]
    return shop.open_job(
        step(
            "FRAME",
            10,
            bolts("ROW1", 10),
            bolts("ROW2", 10),
            bolts("ROW3", 4),
            position("CLIPS", {"part": "C"}, sets=6),
            position("PLATE", {"part": "E"}, sets=2, record="setting", stages=small),
            position("MAST", {"part": "E"}, sets=1, record="tick", critical=True),
            position("GAP", {"part": "E"}, sets=1, record="values"),
            position("SEALS", {"part": "A", "rule": "replace"}, sets=2),
        ),
    )


def strip(shop: HttpBench, job: str) -> None:
    """Two bags: the frame's pieces in one, a kit of new single-use ones in the other."""
    shop.act(job, "remove", step="FRAME", bag=shop.tags[0])
    shop.issue(job, "A", 2, shop.tags[1])


def secured(shop: HttpBench, job: str) -> dict[str, int]:
    (frame,) = shop.look(f"/jobs/{job}/refit")["steps"]
    return {one["id"]: one["secured"] for one in frame["positions"]}


# A whole step


def test_all_24_bolts_at_one_setting_are_said_once(shop: HttpBench, job: str) -> None:
    strip(shop, job)

    said = shop.act(job, "secure", step="FRAME", **SAID)

    done = [one for one in said["effects"] if one["effect"] == "stage-done"]
    at_setting = {one["position"]: one["quantity"] for one in done if "setting" in one}
    assert at_setting == {"ROW1": 10, "ROW2": 10, "ROW3": 4}
    assert {one["tool"] for one in done if "tool" in one} == {"wrench 7"}
    assert secured(shop, job) == {
        "ROW1": 10, "ROW2": 10, "ROW3": 4, "CLIPS": 6, "PLATE": 0, "MAST": 0, "GAP": 0, "SEALS": 2,
    }  # fmt: skip


def test_what_wants_its_own_look_is_left_loose_and_named(shop: HttpBench, job: str) -> None:
    strip(shop, job)

    words = shop.act(job, "secure", step="FRAME", **SAID)["warnings"]

    assert [one.partition(":")[0] for one in words] == ["Left loose"] * 3
    assert "at PLATE is at 9 N·m" in words[0]
    assert "at MAST is critical" in words[1]
    assert "at GAP wants its readings" in words[2]
    assert {place for kind, place, _ in opened(shop, job) if kind == "loose"} == {
        "PLATE", "MAST", "GAP",
    }  # fmt: skip


def test_and_is_secured_by_itself(shop: HttpBench, job: str) -> None:
    strip(shop, job)
    shop.act(job, "secure", step="FRAME", **SAID)

    shop.secure(job, "PLATE", tool="wrench 2", setting="9 N·m")
    shop.secure(job, "MAST")
    shop.act(job, "confirm", "mate", position="MAST")
    shop.secure(job, "GAP", values=[{"name": "gap", "value": "0.4", "unit": "mm"}])
    shop.act(job, "discard", bag=shop.tags[0], part="A")
    all_seen(shop, job)

    assert opened(shop, job) == []


def test_readings_said_with_the_step_are_those_of_the_one_that_asks_for_them(
    shop: HttpBench, job: str
) -> None:
    strip(shop, job)
    gap = [{"name": "gap", "value": "0.4", "unit": "mm"}]

    said = shop.act(job, "secure", step="FRAME", values=gap, **SAID)

    read = {one["position"]: one["readings"] for one in said["effects"] if one.get("readings")}
    assert read == {"GAP": "gap 0.4 mm"}


def test_without_a_setting_only_what_needs_none_is_secured(shop: HttpBench, job: str) -> None:
    strip(shop, job)

    said = shop.act(job, "secure", step="FRAME")

    assert "at ROW1 wants the tool's number" in warned(said)
    now = secured(shop, job)
    assert (now["ROW1"], now["CLIPS"], now["SEALS"]) == (0, 6, 2)


def test_already_done_with_everything_is_recorded_and_marked(shop: HttpBench, job: str) -> None:
    strip(shop, job)

    shop.act(job, "secure", step="FRAME", already_done={"reason": "I was alone"}, **SAID)

    assert sum(secured(shop, job).values()) == 36
    rules = {one["part"] for one in shop.look(f"/jobs/{job}/reconciliation")["findings"]}
    assert rules >= {"own-look", "values-needed", "another-setting"}


def test_from_one_bag_only_what_it_holds_goes_back(shop: HttpBench, job: str) -> None:
    strip(shop, job)

    shop.act(job, "secure", step="FRAME", bag=shop.tags[1])
    assert secured(shop, job)["SEALS"] == 2
    assert sum(secured(shop, job).values()) == 2

    shop.act(job, "secure", step="FRAME", bag=shop.tags[0], **SAID)
    assert secured(shop, job)["ROW1"] == 10


def test_a_single_use_piece_never_goes_back_with_the_step(shop: HttpBench, job: str) -> None:
    shop.act(job, "remove", step="FRAME", bag=shop.tags[0])

    said = shop.act(job, "secure", step="FRAME", **SAID)

    assert secured(shop, job)["SEALS"] == 0
    assert "at SEALS: 2 stretch bolt (A) still off" in warned(said)
    assert "ask the parts desk" in warned(said)


def test_a_lost_clip_keeps_nobody_from_securing_the_rest(shop: HttpBench, job: str) -> None:
    strip(shop, job)
    shop.act(job, "lose", part="C", bag=shop.tags[0], words="rolled away")

    said = shop.act(job, "secure", step="FRAME", **SAID)

    assert secured(shop, job)["CLIPS"] == 5
    assert "at CLIPS: 1 trim clip (C) still off" in warned(said)


def test_hand_started_first_and_secured_as_a_whole_afterwards(shop: HttpBench, job: str) -> None:
    strip(shop, job)

    shop.act(job, "fit", step="FRAME")
    assert ("loose", "ROW1", 10) in opened(shop, job)
    shop.act(job, "secure", step="FRAME", **SAID)

    left = {place for kind, place, _ in opened(shop, job) if kind == "loose"}
    assert left == {"PLATE", "MAST", "GAP"}


def test_when_nothing_more_can_be_done_at_once_the_act_is_refused(shop: HttpBench) -> None:
    job = shop.open_job(
        step("MAST", 10, position("M1", {"part": "E"}, sets=2, record="tick", critical=True))
    )
    shop.act(job, "remove", step="MAST", bag=shop.tags[0])
    assert "M1 is critical" in warned(shop.act(job, "secure", step="MAST"))

    refused = shop.refused(job, "secure", step="MAST")

    assert (refused["reason"], refused["position"]) == ("own-look", "M1")
    shop.secure(job, "M1")


def test_a_wrong_whole_step_is_reversed_as_a_whole(shop: HttpBench, job: str) -> None:
    strip(shop, job)
    said = shop.act(job, "secure", step="FRAME", **SAID)

    shop.act(job, "reverse", act=said["key"], reason="it was the other frame")

    assert sum(secured(shop, job).values()) == 0


# What is recorded at a position


@pytest.mark.parametrize(
    ("record", "needed", "told"),
    [
        ("nothing", "", {}),
        ("tick", "", {}),
        ("setting", "setting-needed", {"tool": "wrench 7", "setting": "20 N·m"}),
        ("values", "values-needed", {"values": [{"name": "gap", "value": "0.4", "unit": "mm"}]}),
    ],
)
def test_a_position_asks_for_no_more_than_its_plan_says(
    shop: HttpBench, record: str, needed: str, told: Json
) -> None:
    job = shop.open_job(step("S", 10, position("P", {"part": "B"}, sets=2, record=record)))
    shop.remove(job, "P", shop.tags[0])
    if needed:
        refused = shop.refused(job, "secure", position="P", bag=shop.tags[0])
        assert refused["reason"] == needed

    shop.secure(job, "P", bag=shop.tags[0], **told)

    assert opened(shop, job) == []


# Stages


def test_a_finished_stage_counts_while_the_bolts_are_still_loose(shop: HttpBench) -> None:
    job = shop.open_job(step("S", 10, position("P", {"part": "B"}, sets=4, stages=STAGES)))
    shop.remove(job, "P", shop.tags[0])
    early = shop.act(job, "secure", step="S", stage="angle")
    assert "do “110 N·m” first" in warned(early)

    shop.act(job, "secure", step="S", stage="torque")

    found = finding(shop, job, "loose")
    assert found["quantity"] == 4
    assert "done so far: 110 N·m" in found["words"]
    (line,) = shop.look(f"/jobs/{job}/refit")["steps"][0]["positions"]
    assert [(one["id"], one["done"]) for one in line["stages"]] == [("torque", 4), ("angle", 0)]

    shop.act(job, "secure", step="S", stage="angle")
    assert opened(shop, job) == []


# What wants a look first


def test_a_step_of_clips_is_looked_at_in_one_act_and_goes_back_in_another(
    shop: HttpBench,
) -> None:
    inspected = {"part": "C", "rule": "inspect", "criterion": "both legs whole"}
    counted = {"part": "E", "rule": "limited", "max_uses": 3}
    job = shop.open_job(
        step("S", 10, position("P", inspected, sets=5), position("Q", counted, sets=2))
    )
    shop.act(job, "remove", step="S", bag=shop.tags[0])
    refused = shop.refused(job, "secure", step="S")
    assert refused["reason"] == "not-inspected"

    shop.act(job, "inspect", part="C", bag=shop.tags[0], quantity=1, result="fail", words="leg off")
    said = shop.act(job, "inspect", step="S", result="pass")
    assert "both legs whole" in warned(said)
    assert "Count the marks" in warned(said)
    shop.act(job, "secure", step="S")
    shop.act(job, "inspect", step="S", result="pass", uses=1)
    shop.act(job, "secure", step="S")

    assert [kind for kind, _, _ in opened(shop, job)] == ["broken"]
    refused = shop.refused(job, "inspect", step="S", result="fail")
    assert refused["field"] == "part"


def test_all_caps_of_a_step_come_off_in_one_act_and_are_named(shop: HttpBench) -> None:
    caps = [{"id": "t1", "words": "red cap", "quantity": 2}, {"id": "t2", "words": "blue plug"}]
    job = shop.open_job(step("S", 10, position("P", {"part": "C"}, sets=1), temporaries=caps))
    shop.act(job, "put-on", step="S", item="t1")
    shop.act(job, "put-on", step="S", item="t2")
    shop.act(job, "put-on", step="S", words="rag")

    said = shop.act(job, "take-off", step="S")

    assert "2 red cap, 1 blue plug" in warned(said)
    assert "rag" in finding(shop, job, "on-vehicle")["words"]
    assert shop.refused(job, "take-off", step="S")["reason"] == "nothing-there"


# A tag lost or soaked


def test_a_bag_without_its_tag_is_found_by_contents_and_last_place(
    shop: HttpBench, job: str
) -> None:
    strip(shop, job)
    shop.act(job, "stow", tags=[shop.tags[0]], at="rack 2")

    kit, frame = shop.look(f"/jobs/{job}/bags")["bags"]

    assert (kit["words"], kit["kind"]) == ("2 stretch bolt (A)", "kit")
    assert (frame["stowed_at"], frame["pieces"]) == ("rack 2", 36)
    assert frame["steps"] == ["10 step FRAME"]
    assert "24 long bolt (B)" in frame["words"]
    assert frame["last_touched"]
    assert frame["last_touched_by"] == "tech"


def contents(shop: HttpBench, tag: str) -> dict[str, int]:
    found: dict[str, int] = {}
    for one in shop.look(f"/tags/{tag}")["contents"]:
        found[one["part"]] = found.get(one["part"], 0) + one["quantity"]
    return found


COUNTED = [
    {"part": "A", "quantity": 2}, {"part": "B", "quantity": 24},
    {"part": "C", "quantity": 6}, {"part": "E", "quantity": 4},
]  # fmt: skip


def test_a_soaked_tag_is_replaced_after_a_blind_count(shop: HttpBench, job: str) -> None:
    strip(shop, job)
    shop.act(job, "stow", tags=[shop.tags[0]], at="rack 2")
    old, new = shop.tags[0], shop.tags[4]

    said = shop.act(job, "retag", bag=old, into=new, counted=COUNTED)

    assert said["warnings"] == []
    assert contents(shop, new) == {"A": 2, "B": 24, "C": 6, "E": 4}
    assert shop.look(f"/tags/{new}")["stowed_at"] == "rack 2"
    dead = shop.look(f"/tags/{old}")
    assert (dead["void"], dead["contents"]) == (True, [])
    assert dead["carries_now"] == shop.look(f"/tags/{new}")["shown"]
    shop.act(job, "secure", step="FRAME", **SAID)
    assert old not in str(shop.look(f"/jobs/{job}/reconciliation")["not_seen"])


def test_the_dead_tag_turns_up_again_and_says_what_its_bag_carries(
    shop: HttpBench, job: str
) -> None:
    strip(shop, job)
    shop.act(job, "retag", bag=shop.tags[0], into=shop.tags[4], counted=COUNTED)

    refused = shop.refused(job, "secure", position="CLIPS", bag=shop.tags[0])

    assert refused["reason"] == "void-tag"
    assert shop.look(f"/tags/{shop.tags[4]}")["shown"] in refused["detail"]


def test_a_count_that_differs_is_for_quality_and_is_adjusted(shop: HttpBench, job: str) -> None:
    strip(shop, job)
    short = [one if one["part"] != "C" else {"part": "C", "quantity": 5} for one in COUNTED]

    said = shop.act(job, "retag", bag=shop.tags[0], into=shop.tags[4], counted=short)

    assert "5 trim clip (C) counted, 6 by the book" in warned(said)
    found = finding(shop, job, "count-differs")
    assert found["bag"] == shop.look(f"/tags/{shop.tags[4]}")["shown"]
    shop.act(job, "adjust", "quality", count=said["key"], reason="counted again: five")
    assert contents(shop, shop.tags[4])["C"] == 5
    assert "count-differs" not in {kind for kind, _, _ in opened(shop, job)}


def test_in_doubt_nothing_is_moved_and_quality_is_told(shop: HttpBench, job: str) -> None:
    strip(shop, job)
    before = contents(shop, shop.tags[0])
    clips = [{"part": "C", "quantity": 6}]

    shop.act(job, "retag", into=shop.tags[4], counted=clips, doubt="could be the other van's")

    assert contents(shop, shop.tags[0]) == before
    assert contents(shop, shop.tags[4]) == {}
    found = finding(shop, job, "tag-doubt")
    assert "could be the other van's" in found["words"]
    assert "6 trim clip (C)" in found["words"]
    doubtful = shop.look(f"/jobs/{job}/bags")["in_doubt"]
    assert [one["counted"] for one in doubtful] == ["6 trim clip (C)"]


def test_a_doubt_is_over_when_the_bag_is_known(shop: HttpBench, job: str) -> None:
    strip(shop, job)
    shop.act(job, "retag", into=shop.tags[4], bag=shop.tags[0], doubt="no step on it")

    shop.act(job, "retag", "quality", bag=shop.tags[0], into=shop.tags[4], counted=COUNTED)

    assert "tag-doubt" not in {kind for kind, _, _ in opened(shop, job)}
    assert contents(shop, shop.tags[4])["B"] == 24


def test_or_when_quality_takes_it_as_it_is(shop: HttpBench, job: str) -> None:
    shop.act(job, "retag", into=shop.tags[4], doubt="an empty bag, lay under the lift")

    shop.act(job, "accept", "quality", finding="tag-doubt", reason="an empty bag of nobody")

    assert opened(shop, job) == []


def test_a_retag_asks_which_bag_it_is_and_for_a_tag_that_is_on_no_other(
    shop: HttpBench, job: str
) -> None:
    strip(shop, job)

    assert shop.refused(job, "retag", into=shop.tags[4])["field"] == "bag"
    same = shop.refused(job, "retag", bag=shop.tags[0], into=shop.tags[0])
    assert same["field"] == "into"
    taken = shop.refused(job, "retag", bag=shop.tags[0], into=shop.tags[1], counted=COUNTED)
    assert taken["reason"] == "tag-in-use"
    assert "2 stretch bolt (A)" in taken["detail"]


def test_the_wrong_bag_retagged_is_reversed_and_its_tag_is_good_again(
    shop: HttpBench, job: str
) -> None:
    strip(shop, job)
    said = shop.act(job, "retag", bag=shop.tags[0], into=shop.tags[4], counted=COUNTED)

    shop.act(job, "reverse", act=said["key"], reason="it was the other bag")

    assert shop.look(f"/tags/{shop.tags[0]}")["void"] is False
    shop.act(job, "secure", position="CLIPS", bag=shop.tags[0])
