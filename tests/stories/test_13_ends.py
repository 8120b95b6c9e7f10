"""Jobs that end otherwise than released, and vehicles that come in half stripped."""

from __future__ import annotations

import sqlite3

import pytest
from http_bench import HttpBench, Json, problem
from ledger_bench import position, step

from partsvc.store import endings
from partsvc.work import upkeep


def findings(shop: HttpBench, job: str) -> list[tuple[str, str, int]]:
    found = shop.look(f"/jobs/{job}/reconciliation")["findings"]
    return [(one["kind"], one["place"], one["quantity"]) for one in found]


def healthy(shop: HttpBench) -> bool:
    return upkeep.check(shop.ledger.service).faults == ()


@pytest.fixture
def half(shop: HttpBench) -> str:
    """A van half apart: bolts in a bag on the rack, a clip broken, one loose, a cap on."""
    job = shop.open_job(
        step(
            "S1",
            10,
            position("P1", {"part": "B"}, sets=4),
            position("P2", {"part": "C"}, sets=2),
            temporaries=[{"id": "cap", "words": "red cap"}],
        ),
        step("S2", 20, position("P3", {"part": "E"}, sets=1), after=["S1"]),
    )
    shop.remove(job, "P1", shop.tags[0])
    shop.remove(job, "P2", shop.tags[1], broken=1)
    shop.act(job, "put-on", step="S1", item="cap")
    shop.act(job, "loosen", position="P3")
    shop.act(job, "stow", tags=[shop.tags[0]], at="rack 3")
    shop.act(job, "remark", position="P3", words="bracket cracked", defect="cracked")
    return job


def hand_over(shop: HttpBench, job: str, **members: object) -> Json:
    said = {"why": "towed-away", "to": "the owner's other workshop", **members}
    return shop.act(job, "hand-over-incomplete", "lead", **said)


def take_over(shop: HttpBench, job: str, **more: object) -> Json:
    return shop.made("/jobs", {"title": "goes on", "takes_over": job, **more})


def test_a_job_ends_with_findings_open_and_says_so_on_paper(shop: HttpBench, half: str) -> None:
    was_open = len(findings(shop, half))

    hand_over(shop, half, words="owner wants it back today")

    standing = shop.look(f"/jobs/{half}")
    assert standing["state"] == "handed-over"
    record = shop.look(f"/jobs/{half}/hand-over")
    assert (record["why"], record["to"]) == ("towed-away", "the owner's other workshop")
    assert record["open_then"] == len(record["account"]["findings"]) == was_open
    bolts = record["goes_along"][0]
    assert (bolts["quantity"], bolts["stowed_at"], bolts["belongs"]) == (4, "rack 3", "at P1")
    where = {one["place"] for one in record["goes_along"]}
    assert "in its place, not secured" in where
    assert "on the vehicle for a while, to come off" in where
    paper = shop.get(f"/jobs/{half}/hand-over.pdf")
    assert (paper.status_code, paper.data[:5]) == (200, b"%PDF-")
    assert healthy(shop)


def test_it_is_noted_in_the_workshops_own_account(shop: HttpBench, half: str) -> None:
    said = hand_over(shop, half)

    notes = shop.look("/workshop/ledger?kind=note", "lead")["acts"]

    (effect,) = notes[-1]["act"]["effects"]
    assert (effect["effect"], effect["job"], effect["act"]) == (
        "job-handed-over", half, said["key"],
    )  # fmt: skip


def test_only_the_lead_or_quality_end_a_job_so(shop: HttpBench, half: str) -> None:
    refused = shop.refused(half, "hand-over-incomplete", why="cancelled", to="nobody")

    assert refused["code"] == "not-allowed"


def test_nothing_more_is_recorded_until_it_is_reopened(shop: HttpBench, half: str) -> None:
    said = hand_over(shop, half)

    refused = shop.refused(half, "fit", position="P1", bag=shop.tags[0])
    undone = shop.refused(half, "reverse", "lead", act=said["key"], reason="came back")

    assert (refused["reason"], undone["reason"]) == ("handed-over", "handed-over")
    shop.act(half, "reopen", "lead", reason="the owner changed their mind")
    assert shop.look(f"/jobs/{half}")["state"] == "open"
    assert shop.look(f"/jobs/{half}/hand-over")["reopened"]
    again = shop.refused(half, "reverse", "lead", act=said["key"], reason="slip")
    assert again["reason"] == "not-reversible"
    shop.secure(half, "P3")


def test_a_job_never_handed_over_has_no_such_paper(shop: HttpBench, half: str) -> None:
    assert problem(shop.get(f"/jobs/{half}/hand-over.pdf"))["code"] == "not-found"


def test_why_other_is_told_in_words(shop: HttpBench, half: str) -> None:
    refused = shop.refused(half, "hand-over-incomplete", "lead", why="other", to="police")

    assert (refused["code"], refused["field"]) == ("invalid", "words")


def test_a_later_job_goes_on_with_pieces_bags_and_what_is_known(shop: HttpBench, half: str) -> None:
    before = findings(shop, half)
    hand_over(shop, half)

    new = take_over(shop, half)

    job = new["id"]
    assert (new["takes_over"], new["state"]) == (half, "open")
    assert shop.look(f"/jobs/{half}")["taken_over_by"] == job
    assert [one for one in findings(shop, job) if one[0] != "remark"] == [
        one for one in before if one[0] != "remark"
    ]
    assert ("remark", "P3", 1) in findings(shop, job)
    tag = shop.look(f"/tags/{shop.tags[0]}")
    assert (tag["job"]["id"], tag["stowed_at"]) == (job, "rack 3")
    assert tag["contents"][0]["where"] == "at P1"
    assert findings(shop, half) == []
    assert shop.look(f"/jobs/{half}/order")["lines"] == []
    assert healthy(shop)


def test_the_old_paper_still_says_what_was_handed_over(shop: HttpBench, half: str) -> None:
    hand_over(shop, half)
    before = shop.look(f"/jobs/{half}/hand-over")

    new = take_over(shop, half)

    after = shop.look(f"/jobs/{half}/hand-over")
    assert after["goes_along"] == before["goes_along"]
    assert after["account"]["findings"] == before["account"]["findings"]
    assert after["taken_over_by"] == new["number"]
    assert shop.get(f"/jobs/{half}/hand-over.pdf").status_code == 200
    assert shop.get(f"/jobs/{new['id']}/refit.pdf").status_code == 200


def test_the_new_job_is_refitted_in_the_order_it_was_taken_apart_and_released(
    shop: HttpBench,
) -> None:
    job = shop.open_job(
        step("S1", 10, position("P1", {"part": "B"}, sets=1)),
        step("S2", 20, position("P2", {"part": "C"}, sets=1)),
        step("S3", 30, position("P3", {"part": "E"}, sets=1)),
    )
    for place, tag in (("P2", 0), ("P3", 1), ("P1", 2)):
        shop.remove(job, place, shop.tags[tag])
    hand_over(shop, job)
    new = take_over(shop, job)["id"]

    assert [one["id"] for one in shop.look(f"/jobs/{new}/refit")["steps"]] == ["S1", "S3", "S2"]

    for place, tag in (("P1", 2), ("P3", 1), ("P2", 0)):
        shop.secure(new, place, bag=shop.tags[tag])
    shop.act(new, "seen-empty", bags=shop.tags[:3])
    head = shop.look(f"/jobs/{new}/reconciliation")["job"]["head"]
    said = {"vehicle_searched": True, "bay_searched": True, "tools_complete": True}
    shop.act(new, "release", "quality", head=head, panels_back=True, **said)
    assert shop.look(f"/jobs/{new}")["state"] == "released"
    assert healthy(shop)


def test_a_takeover_cut_short_is_mended_by_sending_it_again(
    shop: HttpBench, half: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    hand_over(shop, half)
    body = {"title": "goes on", "takes_over": half}
    key = {"Idempotency-Key": '"take-over-1"'}

    def full(*_: object, **__: object) -> None:
        raise sqlite3.OperationalError("database or disk is full")

    with monkeypatch.context() as broken:
        broken.setattr(endings, "move_tags", full)
        shop.app.testing = False
        shop.app.config["PROPAGATE_EXCEPTIONS"] = False
        assert shop.post("/jobs", body, headers=key).status_code >= 500
        shop.app.testing = True
    kinds = shop.ledger.kinds_of(half)
    assert kinds[-1] == "taken-over"
    assert healthy(shop)

    first = shop.made("/jobs", body, headers=key)
    again = shop.post("/jobs", body, headers=key)

    assert (again.status_code, again.headers["Idempotent-Replay"]) == (201, "true")
    assert (again.json or {})["id"] == first["id"]
    assert shop.ledger.kinds_of(half) == kinds
    assert shop.ledger.at(first["id"], f"bag:{shop.tags[0]}") == {"B": 4}
    assert healthy(shop)


def test_a_job_is_taken_over_once(shop: HttpBench, half: str) -> None:
    hand_over(shop, half)
    new = take_over(shop, half)

    twice = problem(shop.post("/jobs", {"title": "again", "takes_over": half}))
    reopened = shop.refused(half, "reopen", "lead", reason="it came back")

    assert (twice["code"], twice["job"]) == ("conflict", new["id"])
    assert (reopened["reason"], reopened["taken_over_by"]) == ("taken-over", new["id"])


def test_a_job_still_worked_on_is_not_taken_over(shop: HttpBench, half: str) -> None:
    refused = problem(shop.post("/jobs", {"title": "mine", "takes_over": half}))

    assert refused["reason"] == "not-handed-over"
    assert shop.ledger.at(half, f"bag:{shop.tags[0]}") == {"B": 4}


def test_another_vehicle_or_plan_takes_nothing_over(shop: HttpBench, half: str) -> None:
    hand_over(shop, half)
    other = shop.made("/vehicles", {"model": "another van"}, "lead")["id"]

    for wrong in ({"vehicle": other}, {"procedure": "procedure-9"}):
        found = problem(shop.post("/jobs", {"title": "x", "takes_over": half, **wrong}))
        assert found["code"] == "invalid"
    assert shop.ledger.kinds_of(half)[-1] == "hand-over-incomplete"


def test_a_job_taken_over_twice_in_a_row_keeps_its_added_places(shop: HttpBench) -> None:
    first = shop.open_job()
    added = {"where": "behind the wheel arch", "quantity": 2, "part": "C", "step_title": "arch"}
    shop.act(first, "remove", bag=shop.tags[0], add=added)
    hand_over(shop, first)
    second = take_over(shop, first)["id"]
    shop.act(second, "differs", position=next(iter(shop.ledger.look(second).plan.positions)),
             sets=3, reason="one more was there")  # fmt: skip
    hand_over(shop, second)

    third = take_over(shop, second)["id"]

    (place,) = shop.ledger.look(third).plan.positions.values()
    assert (place.where, place.sets) == ("behind the wheel arch", 3)
    assert shop.ledger.at(third, f"bag:{shop.tags[0]}") == {"C": 2}
    words = [one["words"] for one in shop.look(f"/jobs/{third}/reconciliation")["findings"]]
    assert any("one more was there" in said for said in words)
    assert healthy(shop)


def test_a_cancelled_job_put_back_together_is_simply_released(shop: HttpBench) -> None:
    job = shop.open_job(step("S1", 10, position("P1", {"part": "B"}, sets=1)))
    shop.remove(job, "P1", shop.tags[0])

    shop.secure(job, "P1", bag=shop.tags[0])

    shop.act(job, "seen-empty", bags=[shop.tags[0]])
    head = shop.look(f"/jobs/{job}/reconciliation")["job"]["head"]
    said = {"vehicle_searched": True, "bay_searched": True, "tools_complete": True}
    shop.act(job, "release", "quality", head=head, panels_back=True, **said)
    assert shop.look(f"/jobs/{job}")["state"] == "released"


def comes_half_stripped(shop: HttpBench) -> str:
    return shop.open_job(
        step(
            "S1", 10, position("P1", {"part": "B"}, sets=4), position("P2", {"part": "C"}, sets=2)
        ),
        step(
            "S2", 20, position("P3", {"part": "E"}, sets=1), after=["S1"],
            holds=[{"id": "H1", "title": "supported"}],
        ),
        step("S3", 30, position("P4", {"part": "D"}, sets=1), after=["S2"]),
    )  # fmt: skip


def test_a_van_that_comes_half_stripped_is_entered_as_it_came(shop: HttpBench) -> None:
    job = comes_half_stripped(shop)

    shop.act(
        job, "arrived-off", positions=["P1", "P3"], bag=shop.tags[0],
        words="in one box from the first workshop",
    )  # fmt: skip
    shop.act(job, "arrived-off", positions=["P2"], missing=True, words="not in the box")
    shop.act(job, "arrived-off", step="S3", loose=True, words="half turned out")

    listed = {
        line["id"]: line
        for one in shop.look(f"/jobs/{job}/steps")["steps"]
        for line in one["positions"]
    }
    assert listed["P1"]["on_arrival"] == "off on arrival: in one box from the first workshop"
    assert listed["P2"]["on_arrival"] == "missing on arrival: not in the box"
    assert (listed["P4"]["loose"], listed["P4"]["on_arrival"]) == (
        1, "loose on arrival: half turned out",
    )  # fmt: skip
    assert {one[:2] for one in findings(shop, job)} == {
        ("not-back", "P1"), ("not-back", "P3"), ("missing-on-arrival", "P2"), ("loose", "P4"),
        ("hold-open", "H1"),
    }  # fmt: skip


def test_what_came_off_elsewhere_does_not_count_in_the_strip_order(shop: HttpBench) -> None:
    job = shop.open_job(
        step("S1", 10, position("P1", {"part": "B"}, sets=1)),
        step("S2", 20, position("P2", {"part": "C"}, sets=1)),
        step("S3", 30, position("P3", {"part": "E"}, sets=1)),
    )
    shop.remove(job, "P3", shop.tags[0])
    shop.remove(job, "P1", shop.tags[1])

    shop.act(job, "arrived-off", positions=["P2"], bag=shop.tags[2], words="in a box")

    order = [one["id"] for one in shop.look(f"/jobs/{job}/refit")["steps"]]
    assert order.index("S1") < order.index("S3")


def test_arrival_is_said_in_one_way_and_once(shop: HttpBench) -> None:
    job = comes_half_stripped(shop)
    said = {"positions": ["P1"], "words": "in a box"}

    both = shop.refused(job, "arrived-off", **said, bag=shop.tags[0], missing=True)
    shop.act(job, "arrived-off", **said, own_hole=True)
    again = shop.refused(job, "arrived-off", **said, missing=True)

    assert both["code"] == "invalid"
    assert again["reason"] == "nothing-there"
    assert ("own-hole", "P1", 4) in findings(shop, job)


def test_an_arrival_said_by_mistake_is_reversed(shop: HttpBench) -> None:
    job = comes_half_stripped(shop)
    said = shop.act(job, "arrived-off", step="S1", bag=shop.tags[0], words="in a box")

    shop.act(job, "reverse", act=said["key"], reason="that was the other van")

    assert shop.ledger.at(job, "secured:P1") == {"B": 4}
    listed = shop.look(f"/jobs/{job}/steps")["steps"][0]["positions"]
    assert [one["on_arrival"] for one in listed] == ["", ""]


def test_shims_that_came_in_a_box_are_counted_on_the_way(shop: HttpBench) -> None:
    job = shop.open_job(step("S1", 10, position("P1", {"part": "W"}, sets=1, as_found=True)))
    said = {"positions": ["P1"], "bag": shop.tags[0], "words": "in a box"}
    assert shop.refused(job, "arrived-off", **said)["reason"] == "say-how-many"

    shop.act(job, "arrived-off", **said, sets=3)

    assert shop.ledger.at(job, f"bag:{shop.tags[0]}") == {"W": 3}
