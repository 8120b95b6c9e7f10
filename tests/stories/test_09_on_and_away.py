"""A cover goes to paint with its captive screws, and a battery is exchanged for another."""

from __future__ import annotations

import pytest
from http_bench import HttpBench, Json
from ledger_bench import position, step
from vans import finding, opened

# The cover is part B, the battery part E: what they are made of does not matter here.
STEPS = (
    step("SEAT", 10, position("SEAT", {"part": "C"}, sets=2)),
    step(
        "COVER",
        20,
        position("CAPTIVE", {"part": "D"}, sets=4, loosen_only=True, on="COVER"),
        position("COVER", {"part": "B"}, sets=1),
        after=["SEAT"],
    ),
    step("HARNESS", 30, position("CLIPS", {"part": "C"}, sets=3), after=["COVER"]),
    step(
        "BRACKETS",
        40,
        position("LEFT", {"part": "A", "rule": "replace"}, sets=2, on="PACK"),
        position("RIGHT", {"part": "W"}, sets=2, on="PACK"),
        after=["HARNESS", "TOP"],
    ),
    step("TOP", 45, position("TOP", {"part": "C"}, sets=1)),
    step("PACK", 50, position("PACK", {"part": "E"}, sets=1), after=["HARNESS"]),
)


@pytest.fixture
def job(shop: HttpBench) -> str:
    return shop.open_job(*STEPS)


def line(shop: HttpBench, job: str, position: str) -> Json:
    """A position on the strip list."""
    steps = shop.look(f"/jobs/{job}/steps")["steps"]
    (found,) = [one for step in steps for one in step["positions"] if one["id"] == position]
    return dict(found)


def to_the_cover(shop: HttpBench, job: str) -> None:
    """The seat is out and the cover off, its screws loose in it; the cover is in bag 1."""
    shop.remove(job, "SEAT", shop.tags[0])
    shop.act(job, "loosen", position="CAPTIVE")
    shop.remove(job, "COVER", shop.tags[1])


def to_the_pack(shop: HttpBench, job: str) -> None:
    """The battery stands on its trolley, tag 3, its brackets on it."""
    to_the_cover(shop, job)
    shop.remove(job, "CLIPS", shop.tags[2])
    shop.remove(job, "PACK", shop.tags[3])


def exchange(shop: HttpBench, job: str, **members: object) -> Json:
    return shop.act(job, "exchange-carrier", position="PACK", bag=shop.tags[3], **members)


# On a carrier


def test_the_screws_stay_at_their_place_and_the_lists_say_where_the_cover_is(
    shop: HttpBench, job: str
) -> None:
    assert line(shop, job, "CAPTIVE")["carried"] == "on the long bolt (B)"

    to_the_cover(shop, job)
    shop.act(job, "stow", tags=[shop.tags[1]], at="rack 2")

    now = line(shop, job, "CAPTIVE")
    assert (now["loose"], now["off"]) == (4, 0)
    assert now["carried"].startswith("on the long bolt (B), which is in bag ")
    assert now["carried"].endswith(" (rack 2)")
    assert "rack 2" in finding(shop, job, "loose")["words"]
    (carried,) = shop.look(f"/tags/{shop.tags[1]}")["carries"]
    assert carried == "step 20, at CAPTIVE: patched screw (D), 4 loose"
    refit = shop.look(f"/jobs/{job}/refit")["steps"]
    words = {one["id"]: one["carried"] for step in refit for one in step["positions"]}
    assert (words["CAPTIVE"], words["SEAT"]) == (now["carried"], "")


def test_on_the_bench_nothing_is_asked_that_only_gave_access(shop: HttpBench, job: str) -> None:
    to_the_cover(shop, job)
    shop.remove(job, "CLIPS", shop.tags[2])
    refused = shop.refused(job, "remove", position="LEFT", bag=shop.tags[4])
    assert (refused["reason"], refused["first_step"]) == ("step-first", "TOP")

    shop.remove(job, "PACK", shop.tags[3])

    # What only gave access on the vehicle is not asked for on the bench.
    shop.remove(job, "LEFT", shop.tags[4])
    shop.issue(job, "A", 2, shop.tags[5])
    shop.secure(job, "LEFT", bag=shop.tags[5])
    assert line(shop, job, "LEFT")["secured"] == 2


def test_captive_screws_nobody_had_planned_are_recorded_on_their_cover(
    shop: HttpBench,
) -> None:
    job = shop.open_job()
    cover = {"where": "sill cover", "quantity": 1, "part": "B", "step_title": "sill"}
    off = shop.act(job, "remove", bag=shop.tags[0], add=cover)
    (at,) = [one["position"] for one in off["effects"] if one["effect"] == "position-added"]
    screws = {"where": "its screws", "quantity": 4, "part": "D", "step_title": "sill screws"}
    shop.act(job, "correct", reason="captive", add={**screws, "on": at})

    (line,) = [
        one
        for found in shop.look(f"/jobs/{job}/steps")["steps"]
        for one in found["positions"]
        if one["where"] == "its screws"
    ]
    assert line["carried"].startswith("on the long bolt (B), which is in bag ")
    refused = shop.refused(job, "correct", reason="captive", add={**screws, "on": line["id"]})
    assert (refused["status"], refused["field"]) == (422, "add.on")
    refused = shop.refused(job, "reverse", act=off["key"], reason="a slip")
    assert refused["reason"] == "moved-on"


def test_a_plan_with_carriers_that_cannot_be_is_not_taken(shop: HttpBench) -> None:
    def faults(*positions: Json) -> list[str]:
        plan = {"key": "k", "title": "t", "steps": [step("S", 10, *positions)]}
        found = shop.post("/procedures", plan, "lead").get_json(force=True)
        return [one["says"] for one in found["faults"]]

    washer, bolt = {"part": "W"}, {"part": "B"}
    assert faults(position("P", washer, sets=1, on="Q")) == ["there is no position with the id Q"]
    assert faults(position("P", washer, sets=1, on="Q"), position("Q", bolt, sets=2)) == [
        "2 pieces belong at Q; a carrier is one single piece"
    ]
    ring = faults(position("P", washer, sets=1, on="Q"), position("Q", bolt, sets=1, on="P"))
    assert ring == ["the carriers lie on one another: P lies on Q, Q lies on P"]


# Sent away


def test_a_cover_goes_to_paint_and_comes_back(shop: HttpBench, job: str) -> None:
    to_the_cover(shop, job)
    sent = shop.act(
        job, "send-away", bag=shop.tags[1], to="paint shop", words="scratched", due="2099-12-31"
    )
    assert sent["warnings"] == [
        "What lies on it goes along and stays booked at its place: at CAPTIVE."
    ]

    away = finding(shop, job, "away")
    assert "at COVER) away: paint shop, scratched; due 2099-12-31" in away["words"]
    assert ("short", "COVER", 1) not in opened(shop, job)
    assert line(shop, job, "CAPTIVE")["carried"].endswith("which is away: paint shop")
    (listed,) = shop.look("/away")["away"]
    assert (listed["to"], listed["home"], listed["overdue"]) == (
        "paint shop", "step 20, at COVER", False,
    )  # fmt: skip
    assert all(one["part"] != "B" for one in shop.look(f"/jobs/{job}/order")["lines"])

    shop.act(job, "come-back", bag=shop.tags[1], **{"from": "Paint  Shop"})

    assert [one for one in opened(shop, job) if one[0] == "away"] == []
    assert ("not-back", "COVER", 1) in opened(shop, job)
    assert shop.look("/away")["away"] == []


def test_the_list_of_what_is_away_begins_with_what_is_overdue(shop: HttpBench, job: str) -> None:
    other = shop.open_job(*STEPS)
    shop.act(job, "send-away", position="SEAT", quantity=1, to="paint shop", due="2099-01-01")
    shop.act(other, "send-away", position="SEAT", quantity=1, to="upholsterer", due="2001-01-01")
    shop.act(other, "send-away", position="SEAT", quantity=1, to="paint shop")

    found = shop.look("/away", "desk")["away"]

    assert [(one["job_number"], one["due_words"]) for one in found] == [
        (2, "overdue since 2001-01-01"),
        (1, "due 2099-01-01"),
        (2, "no day was given"),
    ]


def test_away_stays_open_until_quality_accepts_that_it_stays(shop: HttpBench, job: str) -> None:
    shop.act(job, "send-away", position="SEAT", to="maker, for the warranty")
    away = finding(shop, job, "away")
    assert (away["gravity"], away["quantity"]) == ("high", 2)

    shop.act(job, "accept", "quality", finding="away", reason="maker keeps them, new ones ordered")
    assert [one for one in opened(shop, job) if one[0] == "away"] == []


def test_what_was_broken_comes_back_mended(shop: HttpBench, job: str) -> None:
    shop.remove(job, "SEAT", shop.tags[0], broken=1)
    shop.act(job, "send-away", bag=shop.tags[0], quantity=2, part="C", to="workshop next door")
    shop.act(job, "come-back", bag=shop.tags[0], repaired=True)

    assert shop.ledger.at(job, f"bag:{shop.tags[0]}") == {"C": 2}
    assert shop.ledger.reconcile(job).accounts[0].balanced


def test_nothing_comes_back_that_was_never_sent(shop: HttpBench, job: str) -> None:
    refused = shop.refused(job, "come-back", bag=shop.tags[0], part="C")
    assert refused["reason"] == "nothing-away"

    shop.act(job, "send-away", position="SEAT", quantity=1, to="paint shop")
    more = shop.refused(job, "come-back", bag=shop.tags[0], part="C", quantity=2)
    assert more["reason"] == "more-than-are-there"
    shop.act(
        job, "come-back", bag=shop.tags[0], part="C", quantity=2,
        already_done={"reason": "two came in the parcel"},
    )  # fmt: skip
    assert shop.ledger.at(job, f"bag:{shop.tags[0]}") == {"C": 2}


def test_a_day_that_is_in_no_calendar_is_not_taken(shop: HttpBench, job: str) -> None:
    refused = shop.refused(job, "send-away", position="SEAT", to="paint shop", due="2030-02-31")

    assert (refused["status"], refused["field"]) == (422, "due")


def test_what_was_sent_by_a_slip_is_reversed(shop: HttpBench, job: str) -> None:
    sent = shop.act(job, "send-away", position="SEAT", to="paint shop")
    shop.act(job, "reverse", act=sent["key"], reason="wrong van")

    assert opened(shop, job) == []
    assert shop.look("/away")["away"] == []


# Exchanged


def test_all_that_lies_on_the_new_battery_is_as_planned_in_one_tap(
    shop: HttpBench, job: str
) -> None:
    to_the_pack(shop, job)
    exchange(shop, job, rest="transferred")

    assert shop.ledger.at(job, f"bag:{shop.tags[3]}") == {"E new": 1}
    assert (line(shop, job, "LEFT")["loose"], line(shop, job, "RIGHT")["loose"]) == (2, 2)
    # The old one stays where it went, and nobody waits for it.
    assert [one for one in opened(shop, job) if one[0] == "away"] == []
    assert shop.look("/away")["away"] == []
    # A single-use bolt that moved over is still a bolt that was tightened before.
    refused = shop.refused(job, "secure", position="LEFT")
    assert refused["reason"] == "single-use"
    shop.secure(job, "RIGHT")
    assert line(shop, job, "RIGHT")["secured"] == 2


def test_each_place_on_the_old_battery_is_answered_once(shop: HttpBench, job: str) -> None:
    to_the_pack(shop, job)
    left = {"position": "LEFT", "answer": "came-new"}

    refused = shop.refused(
        job, "exchange-carrier", position="PACK", bag=shop.tags[3], answers=[left]
    )
    assert (refused["reason"], refused["positions"]) == ("not-answered", ["RIGHT"])
    assert "at RIGHT" in refused["detail"]
    for wrong in ([left, left], [{"position": "SEAT", "answer": "came-new"}]):
        refused = shop.refused(
            job, "exchange-carrier", position="PACK", bag=shop.tags[3], answers=wrong,
            rest="transferred",
        )  # fmt: skip
        assert (refused["status"], refused["field"]) == (422, "answers")

    exchange(shop, job, answers=[left], rest="gone-with-it")

    assert shop.ledger.at(job, "secured:LEFT") == {"A": 2}
    assert ("short", "RIGHT", 2) in opened(shop, job)
    assert "gone with the old assembly" in finding(shop, job, "short")["words"]
    (ordered,) = [one for one in shop.look(f"/jobs/{job}/order")["lines"] if one["part"] == "W"]
    assert (ordered["needed"], ordered["why"]) == (2, ["2 gone with the exchanged assembly"])
    # What came with the new one needs no new bolt, unless somebody loosens it.
    assert [one for one in shop.look(f"/jobs/{job}/order")["lines"] if one["part"] == "A"] == []
    shop.act(job, "loosen", position="LEFT")
    assert shop.refused(job, "secure", position="LEFT")["reason"] == "single-use"


def test_an_old_battery_that_is_to_come_back_is_waited_for(shop: HttpBench, job: str) -> None:
    to_the_pack(shop, job)
    exchange(shop, job, rest="gone-with-it", to="maker", returns=True)

    parts = sorted(one["part"] for one in shop.look("/away")["away"])
    assert parts == ["A", "E", "W"]
    assert {one[0] for one in opened(shop, job)} >= {"away"}


def test_the_trolley_without_the_battery_is_the_wrong_one(shop: HttpBench, job: str) -> None:
    to_the_pack(shop, job)

    refused = shop.refused(
        job, "exchange-carrier", position="PACK", bag=shop.tags[2], rest="transferred"
    )

    assert refused["reason"] == "more-than-are-there"


def test_an_exchange_recorded_by_a_slip_is_reversed_whole(shop: HttpBench, job: str) -> None:
    to_the_pack(shop, job)
    before = opened(shop, job)
    done = exchange(shop, job, rest="came-new")
    shop.act(job, "reverse", act=done["key"], reason="it was the other van's")

    assert opened(shop, job) == before
    assert shop.ledger.at(job, f"bag:{shop.tags[3]}") == {"E": 1}
