"""What came off without a name, and what comes new under another number."""

from __future__ import annotations

from typing import Any

import pytest
from http_bench import HttpBench, Json
from ledger_bench import position, step
from vans import finding, job_on, opened, published, release, vehicle, warned

CATALOGUE: tuple[dict[str, Any], ...] = (
    {"number": "KF-1303", "name": "bolt, third form", "kind": "bolt", "spent_at": "secure"},
    {
        "number": "KF-1302", "name": "bolt, second form", "kind": "bolt", "spent_at": "secure",
        "superseded_by": "KF-1303",
    },
    {
        "number": "KF-1301", "name": "bolt, first form", "kind": "bolt", "spent_at": "secure",
        "superseded_by": "KF-1302",
    },
    {"number": "W8", "name": "washer", "kind": "washer"},
    {"number": "B8", "name": "bolt", "kind": "bolt", "spent_at": "secure"},
    {
        "number": "A1", "name": "bolt with washer", "kind": "bolt", "spent_at": "secure",
        "contents": [{"part": "B8"}, {"part": "W8"}], "captive": True,
    },
    {"number": "S1", "name": "sealing ring", "kind": "seal"},
    {"number": "S2", "name": "gasket", "kind": "seal"},
    {
        "number": "SET", "name": "seal kit", "kind": "assembly",
        "contents": [{"part": "S1", "quantity": 4}, {"part": "S2", "quantity": 1}],
    },
)  # fmt: skip


@pytest.fixture(autouse=True)
def catalogue(shop: HttpBench) -> None:
    for part in CATALOGUE:
        shop.made("/parts", part, "desk")


def changed(shop: HttpBench, number: str, **members: Any) -> None:
    """The parts desk writes more of a part than was known."""
    part = next(one for one in CATALOGUE if one["number"] == number)
    as_read = {"If-Match": shop.get(f"/parts/{number}", "desk").headers["ETag"]}
    found = shop.put(f"/parts/{number}", part | members, "desk", headers=as_read)
    assert found.status_code == 200, found.text


def order(shop: HttpBench, job: str) -> dict[str, Json]:
    """The order of a job, by part."""
    return {line["part"]: line for line in shop.look(f"/jobs/{job}/order", "desk")["lines"]}


def to_order(shop: HttpBench, job: str) -> dict[str, int]:
    return {part: line["to_order"] for part, line in order(shop, job).items() if line["to_order"]}


def on_list(shop: HttpBench, job: str, where: str) -> Json:
    """A position of the refit checklist."""
    steps = shop.look(f"/jobs/{job}/refit")["steps"]
    return next(one for step in steps for one in step["positions"] if one["id"] == where)


# Successors -----------------------------------------------------------------------------------


@pytest.fixture
def bracket(shop: HttpBench) -> str:
    """Four single-use bolts of the first form are off, in bag 0."""
    old = {"part": "KF-1301", "rule": "replace"}
    job = shop.open_job(step("S1", 10, position("P1", old, sets=4)))
    shop.remove(job, "P1", shop.tags[0])
    return job


def test_the_successor_is_ordered_handed_out_and_fitted(shop: HttpBench, bracket: str) -> None:
    assert to_order(shop, bracket) == {"KF-1303": 4}
    assert order(shop, bracket)["KF-1303"]["instead_of"] == ["KF-1301"]
    shop.issue(bracket, "KF-1303", 4, shop.tags[1])
    assert to_order(shop, bracket) == {}
    assert "step 10, at P1, for KF-1301" in shop.look(f"/tags/{shop.tags[1]}")["next"]
    (source,) = on_list(shop, bracket, "P1")["sources"]
    assert (source["part"], source["instead_of"]) == ("KF-1303", "KF-1301")

    shop.secure(bracket, "P1", bag=shop.tags[1])

    shop.act(bracket, "discard", bag=shop.tags[0])
    assert opened(shop, bracket) == []
    assert on_list(shop, bracket, "P1")["tick"] is True


def test_each_successor_says_where_it_stands(shop: HttpBench, bracket: str) -> None:
    (line,) = on_list(shop, bracket, "P1")["stack"]

    assert line["accepts"] == [
        "bolt, second form (KF-1302) for KF-1301: superseded by KF-1302 in the catalogue",
        "bolt, third form (KF-1303) for KF-1301: superseded by KF-1303 in the catalogue, after "
        "KF-1302",
    ]


def test_old_and_new_numbers_make_up_one_set_together(shop: HttpBench, bracket: str) -> None:
    shop.issue(bracket, "KF-1301", 1, shop.tags[1])
    shop.issue(bracket, "KF-1302", 3, shop.tags[1])
    shop.fit(bracket, "P1", shop.tags[1])
    assert opened(shop, bracket) == [("loose", "P1", 4), ("left-over", f"bag:{shop.tags[0]}", 4)]
    words = finding(shop, bracket, "loose")["words"]
    assert "bolt, first form (KF-1301) and bolt, second form (KF-1302) for KF-1301" in words

    shop.secure(bracket, "P1", sets=4)

    shop.act(bracket, "discard", bag=shop.tags[0])
    assert opened(shop, bracket) == []


def test_the_old_number_is_a_wrong_part_where_the_new_one_is_planned(shop: HttpBench) -> None:
    new = {"part": "KF-1302", "rule": "replace"}
    job = shop.open_job(step("S1", 10, position("P1", new, sets=2)))
    shop.remove(job, "P1", shop.tags[0])
    shop.issue(job, "KF-1301", 2, shop.tags[1])

    refused = shop.refused(job, "fit", position="P1", bag=shop.tags[1])

    assert refused["reason"] == "wrong-bag"
    assert "takes bolt, second form (KF-1302) or KF-1303" in refused["detail"]
    forced = {"part": "KF-1301", "already_done": {"reason": "it was all there was"}}
    shop.fit(job, "P1", shop.tags[1], **forced)
    assert ("wrong-part", "P1", 2) in opened(shop, job)
    shop.act(job, "remove", position="P1", part="KF-1301", bag=shop.tags[1])
    shop.issue(job, "KF-1303", 2, shop.tags[2])
    shop.secure(job, "P1", bag=shop.tags[2])
    assert "wrong-part" not in {kind for kind, _, _ in opened(shop, job)}


def test_a_successor_tightened_and_taken_off_again_is_used_too(
    shop: HttpBench, bracket: str
) -> None:
    shop.issue(bracket, "KF-1302", 4, shop.tags[1])
    shop.secure(bracket, "P1", bag=shop.tags[1])
    shop.remove(bracket, "P1", shop.tags[2], quantity=2, part="KF-1301")

    refused = shop.refused(bracket, "fit", position="P1", bag=shop.tags[2])

    assert refused["reason"] == "single-use"
    assert to_order(shop, bracket) == {"KF-1303": 2}


def test_what_came_under_either_number_is_not_ordered_again(shop: HttpBench, bracket: str) -> None:
    asked = {"part": "KF-1301", "quantity": 4}
    shop.made(f"/jobs/{bracket}/order-lines", asked, "desk")
    assert order(shop, bracket)["KF-1303"]["on_order"] == 4
    assert to_order(shop, bracket) == {}


# Accepted here, and on the next job of the same vehicle -----------------------------------------


def plate(shop: HttpBench) -> str:
    """A van on a procedure with two screws of B8."""
    published(shop, step("S1", 10, position("PLATE", {"part": "B8", "rule": "replace"}, sets=2)))
    return vehicle(shop)


ACCEPTED = {"position": "PLATE", "accepts": "B", "reason": "the old ones are no longer made"}


def test_a_number_is_accepted_with_its_source_and_offered_on_the_next_job(shop: HttpBench) -> None:
    van = plate(shop)
    job = job_on(shop, van)
    shop.remove(job, "PLATE", shop.tags[0])
    shop.issue(job, "B", 2, shop.tags[1])
    assert shop.refused(job, "fit", position="PLATE", bag=shop.tags[1])["reason"] == "wrong-bag"
    assert "who says" in shop.refused(job, "correct", "desk", **ACCEPTED)["detail"]
    by_hand = shop.refused(job, "correct", source="heard so", **ACCEPTED)
    assert by_hand["reason"] == "number-not-accepted"

    shop.act(job, "correct", "desk", source="maker's letter 7", **ACCEPTED)

    shop.secure(job, "PLATE", bag=shop.tags[1])
    shop.act(job, "discard", bag=shop.tags[0])
    (told,) = shop.look(f"/jobs/{job}/reconciliation")["this_vehicle"]
    assert (told["what"], told["words"]) == (
        "number accepted", "long bolt (B) for B8: maker's letter 7",
    )  # fmt: skip
    release(shop, job)
    number = shop.look(f"/jobs/{job}")["number"]
    (line,) = on_list(shop, job_on(shop, van), "PLATE")["stack"]
    assert line["accepts"] == [
        f"long bolt (B) for B8: accepted on this vehicle before, job {number}: maker's letter 7"
    ]
    (third,) = on_list(shop, job_on(shop, van), "PLATE")["stack"]
    assert third["accepts"] == line["accepts"]
    (other,) = on_list(shop, job_on(shop, vehicle(shop)), "PLATE")["stack"]
    assert other["accepts"] == []


def test_a_number_that_the_procedure_accepts_fits_on_every_vehicle(shop: HttpBench) -> None:
    also = {"part": "B8", "accepts": [{"number": "B", "source": "parts letter 12"}]}
    job = shop.open_job(step("S1", 10, position("P1", also, sets=2)))
    shop.remove(job, "P1", shop.tags[0], broken=1)
    shop.issue(job, "B", 1, shop.tags[1])

    shop.secure(job, "P1", bag=shop.tags[1])
    shop.secure(job, "P1", bag=shop.tags[0])

    shop.act(job, "discard", bag=shop.tags[0], condition="damaged")
    assert shop.ledger.at(job, "secured:P1") == {"B new": 1, "B8": 1}
    assert opened(shop, job) == []


def test_what_was_accepted_by_mistake_is_undone_and_not_offered(shop: HttpBench) -> None:
    van = plate(shop)
    job = job_on(shop, van)
    said = shop.act(job, "correct", "desk", source="maker's letter 7", **ACCEPTED)

    shop.act(job, "reverse", "lead", act=said["key"], reason="letter 7 is about another bolt")

    assert on_list(shop, job, "PLATE")["stack"][0]["accepts"] == []
    assert on_list(shop, job_on(shop, van), "PLATE")["stack"][0]["accepts"] == []


def test_a_successor_that_does_not_fit_this_vehicle_is_not_taken_any_more(
    shop: HttpBench, bracket: str
) -> None:
    reason = "head fouls the bracket of this van"
    shop.issue(bracket, "KF-1303", 4, shop.tags[1])
    shop.secure(bracket, "P1", bag=shop.tags[1])

    shop.act(bracket, "correct", "quality", position="P1", refuses="KF-1303", reason=reason)

    assert ("wrong-part", "P1", 4) in opened(shop, bracket)
    shop.remove(bracket, "P1", shop.tags[2], part="KF-1303")
    assert to_order(shop, bracket) == {"KF-1302": 4}
    shop.issue(bracket, "KF-1302", 4, shop.tags[1])
    shop.secure(bracket, "P1", bag=shop.tags[1])
    assert "wrong-part" not in {kind for kind, _, _ in opened(shop, bracket)}


# Assembled pieces -------------------------------------------------------------------------------


@pytest.fixture
def flange(shop: HttpBench) -> str:
    """Four single-use bolts with washers are off; the new bolt brings its washer along."""
    changed(shop, "B8", superseded_by="A1")
    stack = ({"part": "B8", "rule": "replace"}, {"part": "W8", "rule": "replace"})
    job = shop.open_job(step("S1", 10, position("P1", *stack, sets=4)))
    shop.remove(job, "P1", shop.tags[0])
    return job


def test_the_new_bolt_replaces_bolt_and_washer(shop: HttpBench, flange: str) -> None:
    assert to_order(shop, flange) == {"A1": 4}
    shop.issue(flange, "A1", 4, shop.tags[1])
    assert [one for one in opened(shop, flange) if one[0] == "not-back"] == [("not-back", "P1", 4)]

    shop.secure(flange, "P1", bag=shop.tags[1])

    assert to_order(shop, flange) == {}
    shop.act(flange, "discard", bag=shop.tags[0])
    assert opened(shop, flange) == []
    assert on_list(shop, flange, "P1")["to_fit"] == 0


def test_a_washer_too_many_under_an_assembled_bolt_is_found(shop: HttpBench, flange: str) -> None:
    shop.issue(flange, "A1", 4, shop.tags[1])
    shop.issue(flange, "W8", 4, shop.tags[2])
    shop.secure(flange, "P1", bag=shop.tags[1])

    shop.secure(
        flange, "P1", bag=shop.tags[2], part="W8", quantity=1,
        already_done={"reason": "put under out of habit"},
    )  # fmt: skip

    assert ("over", "P1", 1) in opened(shop, flange)
    shop.remove(flange, "P1", shop.tags[2], part="W8", quantity=1)
    assert "over" not in {kind for kind, _, _ in opened(shop, flange)}


def test_one_bolt_too_many_is_told_once(shop: HttpBench, flange: str) -> None:
    shop.issue(flange, "A1", 5, shop.tags[1])
    shop.secure(flange, "P1", bag=shop.tags[1])

    shop.secure(
        flange, "P1", bag=shop.tags[1], part="A1", quantity=1,
        already_done={"reason": "counted five holes"},
    )  # fmt: skip

    assert [one for one in opened(shop, flange) if one[0] == "over"] == [("over", "P1", 1)]


def test_old_bolts_still_in_the_store_want_their_washers(shop: HttpBench, flange: str) -> None:
    arrived = {"key": shop.ledger.new_key(), "kind": "receive", "part": "B8", "quantity": 1}
    shop.made("/workshop/acts", arrived, "desk")

    assert to_order(shop, flange) == {"A1": 3, "W8": 1}


def test_assembled_bolts_come_off_again_without_a_washer_missing(
    shop: HttpBench, flange: str
) -> None:
    shop.issue(flange, "A1", 4, shop.tags[1])
    shop.secure(flange, "P1", bag=shop.tags[1])

    shop.remove(flange, "P1", shop.tags[2], sets=4)

    assert shop.ledger.at(flange, f"bag:{shop.tags[2]}") == {"A1": 4}
    assert to_order(shop, flange) == {"A1": 4}


# Kits -------------------------------------------------------------------------------------------


@pytest.fixture
def pump(shop: HttpBench) -> str:
    """Six rings and a gasket that come only in a kit of four rings and a gasket."""
    changed(shop, "S1", only_in="SET")
    changed(shop, "S2", only_in="SET")
    rings = position("RINGS", {"part": "S1", "rule": "replace"}, sets=6)
    gasket = position("GASKET", {"part": "S2", "rule": "replace"}, sets=1)
    job = shop.open_job(step("S1", 10, rings, gasket))
    shop.remove(job, "RINGS", shop.tags[0])
    shop.remove(job, "GASKET", shop.tags[0])
    return job


def test_kits_are_ordered_as_kits_and_unpacked_when_handed_out(shop: HttpBench, pump: str) -> None:
    assert to_order(shop, pump) == {"SET": 2}
    assert order(shop, pump)["SET"]["why"] == [
        "2 to have 6 sealing ring (S1), 1 gasket (S2), which come only in it"
    ]
    assert order(shop, pump)["S1"]["comes_in"] == "SET"

    said = shop.issue(pump, "SET", 2, shop.tags[1])

    assert "in the bag lie now: 8 sealing ring (S1), 2 gasket (S2)" in warned(said)
    assert shop.ledger.at(pump, f"bag:{shop.tags[1]}") == {"S1 new": 8, "S2 new": 2}
    assert to_order(shop, pump) == {}
    assert shop.look(f"/jobs/{pump}/reconciliation")["gates"]["unpacked"] == 8
    shop.secure(pump, "RINGS", bag=shop.tags[1])
    shop.secure(pump, "GASKET", bag=shop.tags[1])
    shop.act(pump, "discard", bag=shop.tags[0])
    assert sorted(opened(shop, pump)) == [
        ("issued-not-used", f"bag:{shop.tags[1]}", 1),
        ("issued-not-used", f"bag:{shop.tags[1]}", 2),
    ]
    shop.act(pump, "return", "desk", bag=shop.tags[1], part="S1")
    shop.act(pump, "return", "desk", bag=shop.tags[1], part="S2")
    assert opened(shop, pump) == []


def test_an_issue_of_kits_is_undone_as_a_whole_while_nothing_was_fitted(
    shop: HttpBench, pump: str
) -> None:
    said = shop.issue(pump, "SET", 2, shop.tags[1])

    shop.act(pump, "reverse", "lead", act=said["key"], reason="kit of another pump")

    assert shop.ledger.at(pump, f"bag:{shop.tags[1]}") == {}
    assert "unpacked" not in shop.look(f"/jobs/{pump}/reconciliation")["gates"]
    again = shop.issue(pump, "SET", 2, shop.tags[1])
    shop.secure(pump, "GASKET", bag=shop.tags[1])
    refused = shop.refused(pump, "reverse", "lead", act=again["key"], reason="kit of another pump")
    assert refused["reason"] == "moved-on"


def test_rings_that_are_there_already_save_a_kit(shop: HttpBench, pump: str) -> None:
    shop.issue(pump, "S1", 2, shop.tags[1])

    assert to_order(shop, pump) == {"SET": 1}


def test_no_kit_goes_one_for_one(shop: HttpBench, pump: str) -> None:
    refused = shop.refused(
        pump, "exchange", "desk",
        bag=shop.tags[0], old_parts=shop.tags[2], part="S1", new_part="SET",
    )  # fmt: skip

    assert "no kit goes one for one" in refused["detail"]


# Unknown parts ----------------------------------------------------------------------------------


@pytest.fixture
def unplanned(shop: HttpBench) -> tuple[str, str]:
    """Without a procedure: four screws nobody knows come off into bag 0; answers job and place."""
    job = shop.open_job()
    add = {
        "where": "bracket under the sill", "quantity": 4, "step_title": "Bracket",
        "words": "black screw, star head", "rule": "inspect",
    }  # fmt: skip
    said = shop.act(job, "remove", bag=shop.tags[0], add=add)
    where = next(one["position"] for one in said["effects"] if one["effect"] == "position-added")
    return job, where


def unnamed(where: str) -> str:
    return f"unnamed:{where}"


def test_a_part_is_named_after_some_are_back_already(
    shop: HttpBench, unplanned: tuple[str, str]
) -> None:
    job, where = unplanned
    what = unnamed(where)
    assert shop.look(f"/jobs/{job}/order", "desk")["not_named"] == ["bracket under the sill"]
    shop.act(job, "inspect", bag=shop.tags[0], part=what, lot=where, result="pass", quantity=4)
    shop.fit(job, where, shop.tags[0], quantity=2)
    shop.secure(job, where)

    shop.act(job, "identify", "desk", what=what, part="B8")

    assert shop.ledger.at(job, f"secured:{where}") == {"B8": 2}
    assert shop.ledger.at(job, f"bag:{shop.tags[0]}") == {"B8": 2}
    assert shop.look(f"/jobs/{job}/order", "desk")["not_named"] == []
    shop.secure(job, where, bag=shop.tags[0])
    assert opened(shop, job) == []


def test_a_part_is_named_like_one_that_another_position_holds_too(
    shop: HttpBench, unplanned: tuple[str, str]
) -> None:
    job, where = unplanned
    add = {"where": "cross member", "quantity": 2, "step_title": "Member", "part": "B8"}
    said = shop.act(job, "remove", bag=shop.tags[0], add=add)
    other = next(one["position"] for one in said["effects"] if one["effect"] == "position-added")

    shop.act(job, "identify", "desk", what=unnamed(where), part="B8")

    contents = shop.look(f"/tags/{shop.tags[0]}")["contents"]
    assert {(one["position"], one["part"], one["quantity"]) for one in contents} == {
        (where, "B8", 4), (other, "B8", 2),
    }  # fmt: skip
    assert sorted(opened(shop, job)) == sorted([("not-back", where, 4), ("not-back", other, 2)])


def test_a_wrong_name_is_put_right_later(shop: HttpBench, unplanned: tuple[str, str]) -> None:
    job, where = unplanned
    shop.act(job, "identify", "desk", what=unnamed(where), part="B8")
    shop.act(job, "inspect", bag=shop.tags[0], part="B8", lot=where, result="pass", quantity=4)
    shop.secure(job, where, bag=shop.tags[0], sets=3)

    shop.act(job, "correct", "desk", position=where, becomes="B", reason="60 mm, not 25")

    assert shop.ledger.at(job, f"secured:{where}") == {"B": 3}
    assert opened(shop, job) == [("not-back", where, 1)]
    shop.secure(job, where, bag=shop.tags[0])
    assert opened(shop, job) == []


def test_stages_reached_before_the_part_had_a_name_are_not_asked_for_again(
    shop: HttpBench,
) -> None:
    stages = [{"id": "first", "words": "20 N·m"}, {"id": "turn", "words": "90°"}]
    job = shop.open_job(step("S1", 10, position("P1", {"part": "B8"}, sets=2, stages=stages)))
    shop.remove(job, "P1", shop.tags[0])
    shop.fit(job, "P1", shop.tags[0])
    shop.secure(job, "P1", stage="first")

    shop.act(job, "correct", "desk", position="P1", becomes="B", reason="longer than planned")

    assert [one["done"] for one in on_list(shop, job, "P1")["stages"]] == [2, 0]
    shop.secure(job, "P1", stage="turn")
    assert opened(shop, job) == []


def test_a_named_part_takes_its_successor_too(shop: HttpBench, unplanned: tuple[str, str]) -> None:
    job, where = unplanned
    shop.act(job, "identify", "desk", what=unnamed(where), part="KF-1301", rule="replace")
    shop.issue(job, "KF-1303", 4, shop.tags[1])

    shop.secure(job, where, bag=shop.tags[1])

    shop.act(job, "discard", bag=shop.tags[0])
    assert opened(shop, job) == []
