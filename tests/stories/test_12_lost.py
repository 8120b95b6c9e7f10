"""A clip is lost in the sill: who searches, who decides, and what happens when it turns up."""

from __future__ import annotations

import pytest
from http_bench import HttpBench
from ledger_bench import position, step
from vans import finding, job_on, opened, published, release, vehicle, warned


@pytest.fixture
def van(shop: HttpBench) -> str:
    published(
        shop,
        step(
            "S1",
            10,
            position("SILL", {"part": "C"}, sets=2),
            position("SEAT", {"part": "B"}, sets=2),
        ),
    )
    return vehicle(shop)


@pytest.fixture
def job(shop: HttpBench, van: str) -> str:
    """The sill trim is off; its two clips are in bag 0."""
    job = job_on(shop, van)
    shop.remove(job, "SILL", shop.tags[0])
    return job


def lose_one(shop: HttpBench, job: str, quantity: int = 1) -> str:
    """A clip fell into the sill; answers the key of the report."""
    said = shop.act(
        job, "lose", part="C", bag=shop.tags[0], quantity=quantity, words="fell into the sill"
    )
    return str(said["key"])


def search(shop: HttpBench, job: str, who: str, where: str, **named: str) -> None:
    shop.act(job, "search", who, where=where, result="nothing", **(named or {"position": "SILL"}))


def search_twice(shop: HttpBench, job: str) -> None:
    search(shop, job, "tech", "sill with a lamp")
    search(shop, job, "mate", "sill with a camera")


def refit(shop: HttpBench, job: str, new: int = 1) -> None:
    """The clips are put back, new ones for the lost."""
    if new < 2:
        shop.secure(job, "SILL", bag=shop.tags[0])
    shop.issue(job, "C", new, shop.tags[1])
    shop.secure(job, "SILL", bag=shop.tags[1])


def decide(shop: HttpBench, job: str) -> None:
    shop.act(job, "accept", "quality", finding="lost", reason="plastic, below the seal, no wiring")


def test_a_loss_holds_the_job_until_two_searched_and_quality_decided(
    shop: HttpBench, job: str
) -> None:
    said = shop.act(job, "lose", part="C", bag=shop.tags[0], words="fell into the sill")
    assert "The job is held" in warned(said)
    refit(shop, job)
    assert opened(shop, job) == [("lost", f"lost:bag:{shop.tags[0]}", 1)]
    assert "Search for it" in finding(shop, job, "lost")["words"]

    refused = shop.refused(job, "accept", "quality", finding="lost", reason="harmless")
    assert (refused["reason"], "Nobody has searched" in refused["detail"]) == ("search-first", True)

    search(shop, job, "tech", "sill with a lamp")
    assert "sill with a lamp: nothing" in finding(shop, job, "lost")["words"]
    assert "let another search" in finding(shop, job, "lost")["words"]
    search(shop, job, "mate", "sill with a camera", loss=said["key"])
    assert "quality may decide" in finding(shop, job, "lost")["words"]

    refused = shop.refused(job, "accept", "lead", finding="lost", reason="harmless")
    assert refused["reason"] == "quality-decides"

    decide(shop, job)
    assert opened(shop, job) == []
    release(shop, job)


def test_what_is_found_before_the_decision_needs_none(shop: HttpBench, job: str) -> None:
    lose_one(shop, job)
    search(shop, job, "tech", "sill")
    shop.act(job, "find", part="C", bag=shop.tags[0], words="under the seat rail")

    missing = shop.refused(job, "accept", "quality", finding="lost", reason="harmless")

    assert missing["status"] == 404
    shop.secure(job, "SILL", bag=shop.tags[0])
    assert opened(shop, job) == []


def test_one_person_who_searches_twice_has_searched_once(shop: HttpBench, job: str) -> None:
    lose_one(shop, job)
    search(shop, job, "tech", "sill with a lamp")
    search(shop, job, "tech", "sill with a magnet")

    refused = shop.refused(job, "accept", "quality", finding="lost", reason="harmless")

    assert "no other person has" in refused["detail"]


def test_the_first_to_search_is_somebody_who_worked_there(shop: HttpBench, job: str) -> None:
    lose_one(shop, job)
    search(shop, job, "mate", "sill")
    search(shop, job, "desk", "sill")

    refused = shop.refused(job, "accept", "quality", finding="lost", reason="harmless")
    assert "Nobody who worked on this job has searched" in refused["detail"]

    search(shop, job, "tech", "sill")
    search(shop, job, "mate", "sill")
    decide(shop, job)


def test_a_search_of_the_whole_vehicle_counts_and_one_of_another_place_does_not(
    shop: HttpBench, job: str
) -> None:
    lose_one(shop, job)
    body = shop.act(job, "search", where="tool trolley", result="nothing")
    assert "Something is lost on this job" in warned(body)
    shop.act(job, "search", "mate", where="seat", result="nothing", position="SEAT")
    assert "Search for it" in finding(shop, job, "lost")["words"]

    shop.act(job, "search", where="all of the van", result="nothing", vehicle=True)
    shop.act(job, "search", "quality", where="bay 4", result="nothing", bay=True)

    decide(shop, job)


def test_a_search_made_before_the_loss_is_none(shop: HttpBench, job: str) -> None:
    search_twice(shop, job)

    lose_one(shop, job)

    assert shop.refused(job, "accept", "quality", finding="lost", reason="x")["reason"] == (
        "search-first"
    )


def test_a_search_for_a_loss_nobody_reported_is_not_taken(shop: HttpBench, job: str) -> None:
    lose_one(shop, job)

    found = shop.refused(
        job, "search", where="sill", result="nothing", loss="0b9b4a5e-6a52-4c0e-9a53-6f0f6f1f6a01"
    )

    assert found["status"] == 404


def test_the_decision_lapses_when_more_is_lost(shop: HttpBench, job: str) -> None:
    lose_one(shop, job)
    search_twice(shop, job)
    decide(shop, job)
    lose_one(shop, job)

    assert ("lost", f"lost:bag:{shop.tags[0]}", 2) in opened(shop, job)
    refused = shop.refused(job, "accept", "quality", finding="lost", reason="harmless")
    assert "Nobody has searched" in refused["detail"]

    search_twice(shop, job)
    decide(shop, job)
    assert [kind for kind, _, _ in opened(shop, job)] == ["short"]


def test_the_decision_does_not_hold_for_what_was_found_and_lost_again(
    shop: HttpBench, job: str
) -> None:
    lose_one(shop, job)
    search_twice(shop, job)
    decide(shop, job)
    shop.act(job, "find", part="C", bag=shop.tags[0])

    lose_one(shop, job)

    assert finding(shop, job, "lost")["quantity"] == 1


def test_a_decision_made_without_searching_is_recorded_and_stays_a_question(
    shop: HttpBench, job: str
) -> None:
    lose_one(shop, job)

    shop.act(
        job, "accept", "quality", finding="lost", reason="harmless",
        already_done={"reason": "the van is on the road already"},
    )  # fmt: skip

    assert "done-anyway" in [kind for kind, _, _ in opened(shop, job)]
    assert "lost" not in [kind for kind, _, _ in opened(shop, job)]


def lost_for_good(shop: HttpBench, job: str) -> None:
    """The clip is lost, decided on, and the van leaves."""
    lose_one(shop, job)
    search_twice(shop, job)
    refit(shop, job)
    decide(shop, job)
    release(shop, job)


def test_the_loss_stays_on_the_vehicles_record(shop: HttpBench, van: str, job: str) -> None:
    lost_for_good(shop, job)

    record = shop.look(f"/vehicles/{van}/record")

    (lost,) = record["lost"]
    assert (lost["called"], lost["home"], lost["quantity"], lost["still_lost"]) == (
        "trim clip (C)", "step 10, at SILL", 1, 1,
    )  # fmt: skip
    assert lost["last"].startswith("bag ")
    assert [(one["by"], one["words"]) for one in lost["reported"]] == [
        ("tech", "fell into the sill")
    ]
    assert [(one["by"], one["words"]) for one in lost["searches"]] == [
        ("tech", "sill with a lamp: nothing"),
        ("mate", "sill with a camera: nothing"),
    ]
    assert [(one["by"], one["words"]) for one in lost["decided"]] == [
        ("quality", "plastic, below the seal, no wiring")
    ]
    assert [(one["job"], one["by"]) for one in record["releases"]] == [(job, "lead")]
    assert "lost at" in record["releases"][0]["accepted"]


def test_found_a_year_later_it_settles_there_without_reopening(
    shop: HttpBench, van: str, job: str
) -> None:
    lost_for_good(shop, job)
    before = shop.look(f"/vehicles/{van}/record")["releases"]

    body = shop.act(job, "find", "mate", part="C", discard=True, words="behind the carpet")

    assert "stays released" in warned(body)
    assert shop.look(f"/jobs/{job}")["state"] == "released"
    assert shop.ledger.at(job, "scrap:bin") == {"C": 1}
    record = shop.look(f"/vehicles/{van}/record")
    assert record["releases"] == before
    (lost,) = record["lost"]
    assert lost["still_lost"] == 0
    assert [(one["by"], one["words"], one["went_to"]) for one in lost["found"]] == [
        ("mate", "behind the carpet", "thrown away")
    ]
    assert opened(shop, job) == []


def test_found_later_and_bagged_it_is_thrown_away_from_there(shop: HttpBench, job: str) -> None:
    lost_for_good(shop, job)
    shop.act(job, "find", part="C", bag=shop.tags[4], words="behind the carpet")
    assert opened(shop, job) == [("left-over", f"bag:{shop.tags[4]}", 1)]

    shop.act(job, "discard", bag=shop.tags[4])
    shop.act(job, "seen-empty", bags=[shop.tags[4]])

    assert opened(shop, job) == []
    assert shop.look(f"/jobs/{job}")["state"] == "released"


def test_found_later_into_a_bag_of_another_job_is_marked_and_settles_all_the_same(
    shop: HttpBench, van: str, job: str
) -> None:
    lost_for_good(shop, job)
    other = shop.open_job(step("S1", 10, position("P1", {"part": "C"}, sets=1)))
    shop.remove(other, "P1", shop.tags[5])

    refused = shop.refused(job, "find", part="C", bag=shop.tags[5])
    assert refused["reason"] == "tag-of-another-job"

    shop.act(job, "find", part="C", bag=shop.tags[5], already_done={"reason": "it lies there"})
    assert shop.look(f"/vehicles/{van}/record")["lost"][0]["still_lost"] == 0
    assert "done-anyway" in [kind for kind, _, _ in opened(shop, job)]


def test_nothing_else_is_recorded_on_a_released_job(shop: HttpBench, job: str) -> None:
    lost_for_good(shop, job)

    reasons = [
        shop.refused(job, "find", part="B", discard=True)["reason"],
        shop.refused(job, "lose", part="C", position="SILL")["reason"],
        shop.refused(job, "search", where="sill", result="nothing")["reason"],
    ]

    assert reasons == ["nothing-lost", "released", "released"]


def test_what_is_found_lies_in_a_bag_or_is_thrown_away_not_both(shop: HttpBench, job: str) -> None:
    lose_one(shop, job)

    for said in ({}, {"bag": shop.tags[0], "discard": True}):
        assert shop.refused(job, "find", part="C", **said)["status"] == 422
    assert shop.refused(job, "find", discard=True)["status"] == 422


def test_a_vehicle_nobody_knows_has_no_record(shop: HttpBench, van: str) -> None:
    assert shop.get("/vehicles/v-nobody/record").status_code == 404
    empty = shop.look(f"/vehicles/{van}/record")
    assert (empty["jobs"], empty["lost"], empty["releases"]) == ([], [], [])
