"""A clip breaks and its foot stays in the cavity: one tap says so, and it is not forgotten."""

from __future__ import annotations

import pytest
from http_bench import HttpBench
from ledger_bench import position, step
from vans import finding, job_on, opened, published, release, vehicle


@pytest.fixture
def van(shop: HttpBench) -> str:
    published(
        shop,
        step(
            "S1",
            10,
            position("SILL", {"part": "C"}, sets=4),
            position("RAIL", {"part": "B"}, {"part": "W"}, sets=2),
        ),
    )
    return vehicle(shop)


@pytest.fixture
def job(shop: HttpBench, van: str) -> str:
    return job_on(shop, van)


def broken_in_the_vehicle(shop: HttpBench, job: str, **more: object) -> str:
    """All four clips off, one of them broke, and its foot is in the cavity."""
    how = {"broken": 1, "rest": "in-vehicle"} | more
    return str(shop.remove(job, "SILL", shop.tags[0], **how)["key"])


def refit(shop: HttpBench, job: str, new: int = 1) -> None:
    """The good ones back, new ones for the broken, the broken thrown away."""
    shop.secure(job, "SILL", bag=shop.tags[0], quantity=4 - new)
    shop.act(job, "discard", bag=shop.tags[0])
    shop.issue(job, "C", new, shop.tags[1])
    shop.secure(job, "SILL", bag=shop.tags[1])


def test_the_foot_in_the_cavity_is_found_at_its_position_until_it_is_out(
    shop: HttpBench, job: str
) -> None:
    broken_in_the_vehicle(shop, job)
    refit(shop, job)

    assert opened(shop, job) == [("fragment", "SILL", 1)]
    found = finding(shop, job, "fragment")
    assert (found["gravity"], found["step_number"]) == ("high", 10)
    assert "still in the vehicle: take it out" in found["words"]

    shop.act(job, "find", position="SILL", fragment=True, words="hooked out")

    assert opened(shop, job) == []
    release(shop, job)


def test_a_rest_that_nobody_finds_is_another_finding(shop: HttpBench, job: str) -> None:
    broken_in_the_vehicle(shop, job, rest="lost", broken=2)
    refit(shop, job, new=2)
    assert opened(shop, job) == [("fragment-lost", "SILL", 2)]

    shop.act(job, "find", position="SILL", fragment=True)
    assert opened(shop, job) == [("fragment-lost", "SILL", 1)]

    shop.act(job, "accept", "quality", finding="fragment-lost", reason="plastic, no wiring near")
    assert opened(shop, job) == []


def test_all_of_it_here_is_said_without_a_tap(shop: HttpBench, job: str) -> None:
    shop.remove(job, "SILL", shop.tags[0], broken=1)
    refit(shop, job)

    assert opened(shop, job) == []


def test_a_rest_without_a_broken_piece_is_asked_about(shop: HttpBench, job: str) -> None:
    asked = shop.refused(
        job, "remove", position="SILL", bag=shop.tags[0], rest="in-vehicle", quantity=1
    )

    assert (asked["status"], asked["field"]) == (422, "broken")


def test_whoever_refits_is_told_at_the_position(shop: HttpBench, job: str) -> None:
    broken_in_the_vehicle(shop, job)

    (refit_step,) = shop.look(f"/jobs/{job}/refit")["steps"]
    (strip_step,) = shop.look(f"/jobs/{job}/steps")["steps"]
    tag = shop.look(f"/tags/{shop.tags[0]}")

    words = "the rest of 1 broken trim clip (C) is still in the vehicle: take it out."
    for told in (refit_step, strip_step):
        rests = {one["id"]: one["rests"] for one in told["positions"]}
        assert rests == {"SILL": [words], "RAIL": []}
    assert words[1:] in tag["next"]
    assert shop.get(f"/jobs/{job}/refit.pdf").status_code == 200


def test_nothing_is_closed_up_over_a_rest_in_the_cavity(shop: HttpBench) -> None:
    seen = {"id": "H1", "title": "seen before the shield", "when": "refit", "close_up": True}
    job = shop.open_job(
        step("shield", 10, position("SHIELD", {"part": "B"}, sets=1), holds=[seen]),
        step("sill", 20, position("SILL", {"part": "C"}, sets=4), after=["shield"]),
    )
    shop.remove(job, "SHIELD", shop.tags[3])
    broken_in_the_vehicle(shop, job)
    refit(shop, job)
    shop.act(job, "seen-empty", bags=[shop.tags[0], shop.tags[1]])

    refused = shop.refused(job, "hold", hold="H1")
    assert "still in the vehicle: take it out" in refused["detail"]

    shop.act(job, "find", position="SILL", fragment=True)
    shop.act(job, "hold", hold="H1")


def test_a_clip_that_breaks_while_it_is_pushed_home(shop: HttpBench, job: str) -> None:
    shop.remove(job, "SILL", shop.tags[0])
    shop.fit(job, "SILL", shop.tags[0])

    shop.act(job, "broke", position="SILL", rest="in-vehicle", words="foot sheared off")

    assert shop.ledger.at(job, "loose:SILL") == {"C": 3, "C damaged": 1}
    assert {kind for kind, _, _ in opened(shop, job)} == {"damaged", "loose", "fragment"} | {
        kind for kind, place, _ in opened(shop, job) if place == "RAIL"
    }
    assert shop.refused(job, "secure", position="SILL")["reason"] == "damaged"
    assert [
        (line["part"], line["needed"], line["why"])
        for line in shop.look(f"/jobs/{job}/order")["lines"]
        if line["part"] == "C"
    ] == [("C", 1, ["1 broke"])]

    shop.remove(job, "SILL", shop.tags[2], quantity=1)
    assert shop.ledger.at(job, f"bag:{shop.tags[2]}") == {"C damaged": 1}
    shop.act(job, "discard", bag=shop.tags[2])
    shop.issue(job, "C", 1, shop.tags[1])
    shop.secure(job, "SILL", bag=shop.tags[1])
    shop.secure(job, "SILL")
    shop.act(job, "find", position="SILL", fragment=True)
    assert opened(shop, job) == []


def test_a_clip_that_breaks_when_already_home_stays_found_there(shop: HttpBench, job: str) -> None:
    shop.act(job, "broke", position="SILL")

    assert opened(shop, job) == [("damaged", "SILL", 1)]
    shop.remove(job, "SILL", shop.tags[0], quantity=1)
    assert shop.ledger.at(job, f"bag:{shop.tags[0]}") == {"C damaged": 1}


def test_a_piece_that_breaks_in_its_bag(shop: HttpBench, job: str) -> None:
    shop.issue(job, "C", 2, shop.tags[0])

    shop.act(job, "broke", bag=shop.tags[0], rest="lost")

    assert shop.ledger.at(job, f"bag:{shop.tags[0]}") == {"C damaged": 1, "C new": 1}
    assert ("fragment-lost", f"bag:{shop.tags[0]}", 1) in opened(shop, job)
    inside = shop.refused(job, "broke", bag=shop.tags[0], rest="in-vehicle")
    assert (inside["status"], inside["field"]) == (422, "rest")
    shop.act(job, "find", bag=shop.tags[0], fragment=True)
    assert "fragment-lost" not in [kind for kind, _, _ in opened(shop, job)]


def test_of_a_set_it_is_said_which_part_broke(shop: HttpBench, job: str) -> None:
    asked = shop.refused(job, "broke", position="RAIL")
    assert (asked["status"], asked["field"]) == (422, "part")

    shop.act(job, "broke", position="RAIL", part="W")

    assert opened(shop, job) == [("damaged", "RAIL", 1)]


def test_more_broken_than_the_book_has_there_is_recorded_when_it_is_so(
    shop: HttpBench, job: str
) -> None:
    refused = shop.refused(job, "broke", position="SILL", quantity=5)
    assert (refused["reason"], refused["there"]) == ("more-than-are-there", 4)

    shop.act(job, "broke", position="SILL", quantity=5, already_done={"reason": "five feet"})

    assert ("damaged", "SILL", 5) in opened(shop, job)


def test_more_rests_than_are_known_are_no_find(shop: HttpBench, job: str) -> None:
    broken_in_the_vehicle(shop, job)
    shop.act(job, "find", position="SILL", fragment=True)

    again = shop.refused(job, "find", position="SILL", fragment=True)

    assert again["reason"] == "nothing-lost"
    assert shop.refused(job, "find", fragment=True)["status"] == 422


def test_a_slip_is_undone_with_its_rest_unless_that_was_found_since(
    shop: HttpBench, job: str
) -> None:
    key = broken_in_the_vehicle(shop, job)
    found = shop.act(job, "find", position="SILL", fragment=True)["key"]
    refused = shop.refused(job, "reverse", act=key, reason="wrong position")
    assert refused["reverse_first"] == [found]

    shop.act(job, "reverse", act=found, reason="was another's")
    shop.act(job, "reverse", act=key, reason="wrong position")

    assert opened(shop, job) == []
    assert shop.ledger.at(job, "secured:SILL") == {"C": 4}


def test_the_rest_found_after_the_release_settles_on_the_record(
    shop: HttpBench, van: str, job: str
) -> None:
    broken_in_the_vehicle(shop, job)
    refit(shop, job)
    shop.act(job, "accept", "quality", finding="fragment", reason="nylon foot, cavity closed")
    release(shop, job)
    (before,) = shop.look(f"/vehicles/{van}/record")["fragments"]

    shop.act(job, "find", position="SILL", fragment=True, words="fell out")

    (after,) = shop.look(f"/vehicles/{van}/record")["fragments"]
    assert (before["still_there"], after["still_there"]) == (1, 0)
    assert [one["words"] for one in after["decided"]] == ["nylon foot, cavity closed"]
    assert [one["words"] for one in after["taken_out"]] == ["fell out"]
    assert after["where"] == "step 10, at SILL"
