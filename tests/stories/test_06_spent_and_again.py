"""Bolts that are spent, and bolts that may be used a few times: over a second strip, over years."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest
from http_bench import HttpBench, Json
from ledger_bench import position, step
from vans import job_on, opened, published, release, vehicle, warned

STRETCH = position("HEAD", {"part": "A", "rule": "replace"}, sets=4)
PLAIN = position("RAIL", {"part": "B"}, sets=2)
CLIPS = position("SILL", {"part": "C"}, sets=4)
LIMITED: Mapping[str, Any] = {"part": "E", "rule": "limited", "max_uses": 2}


def order(shop: HttpBench, job: str, part: str) -> tuple[int, int, list[str]]:
    """What is needed of a part, how many are to be ordered, and why; nothing of it is nothing."""
    lines = shop.look(f"/jobs/{job}/order")["lines"]
    found = [one for one in lines if one["part"] == part]
    return (found[0]["needed"], found[0]["to_order"], found[0]["why"]) if found else (0, 0, [])


def spare(shop: HttpBench, job: str, part: str) -> int:
    lines = shop.look(f"/jobs/{job}/order")["lines"]
    return sum(one["spare"] for one in lines if one["part"] == part)


# Spent ------------------------------------------------------------------------------------------


@pytest.fixture
def job(shop: HttpBench) -> str:
    return shop.open_job(step("S1", 10, STRETCH, PLAIN, CLIPS))


def renewed(shop: HttpBench, job: str) -> None:
    """The old stretch bolts are off and thrown away, four new ones are torqued."""
    shop.remove(job, "HEAD", shop.tags[0])
    shop.act(job, "discard", bag=shop.tags[0])
    shop.issue(job, "A", 4, shop.tags[1])
    shop.secure(job, "HEAD", bag=shop.tags[1])


def test_a_new_bolt_torqued_and_taken_off_again_is_used(shop: HttpBench, job: str) -> None:
    renewed(shop, job)
    assert (opened(shop, job), order(shop, job, "A")) == ([], (0, 0, []))

    shop.remove(job, "HEAD", shop.tags[2], quantity=1)

    assert shop.ledger.at(job, f"bag:{shop.tags[2]}") == {"A": 1}
    assert shop.refused(job, "secure", position="HEAD", bag=shop.tags[2])["reason"] == "single-use"
    assert order(shop, job, "A") == (1, 1, ["1 single-use"])


def test_a_new_bolt_that_was_only_loosened_is_asked_for_again_too(
    shop: HttpBench, job: str
) -> None:
    renewed(shop, job)
    shop.act(job, "loosen", position="HEAD", sets=2)

    assert order(shop, job, "A") == (2, 2, ["2 single-use"])
    assert shop.refused(job, "secure", position="HEAD")["reason"] == "single-use"


def test_loosened_taken_out_and_put_in_elsewhere_is_caught(shop: HttpBench) -> None:
    job = shop.open_job(
        step("S1", 10, position("P1", {"part": "B", "rule": "replace"}, sets=1)),
        step("S2", 20, position("P2", {"part": "B", "rule": "replace"}, sets=1)),
    )
    old, new, out = shop.tags[:3]
    for one in ("P1", "P2"):
        shop.remove(job, one, old)
    shop.act(job, "discard", bag=old)
    shop.issue(job, "B", 1, new)
    shop.secure(job, "P1", bag=new)
    shop.act(job, "loosen", position="P1")
    shop.remove(job, "P1", out)

    assert shop.refused(job, "secure", position="P2", bag=out)["reason"] == "single-use"

    shop.act(job, "secure", position="P2", bag=out, already_done={"reason": "nobody looked"})
    assert ("unreplaced", "P2", 1) in opened(shop, job)
    assert order(shop, job, "B") == (2, 2, ["2 single-use"])


def test_retightened_anyway_it_is_asked_for_until_a_new_one_is_in(
    shop: HttpBench, job: str
) -> None:
    renewed(shop, job)
    shop.act(job, "loosen", position="HEAD", sets=1)
    shop.act(job, "secure", position="HEAD", already_done={"reason": "in a hurry"})
    assert opened(shop, job) == [("unreplaced", "HEAD", 1)]
    assert order(shop, job, "A") == (1, 1, ["1 single-use"])

    shop.remove(job, "HEAD", shop.tags[2], quantity=1)
    shop.act(job, "discard", bag=shop.tags[2])
    shop.issue(job, "A", 1, shop.tags[3])
    assert order(shop, job, "A") == (1, 0, ["1 single-use"])
    shop.secure(job, "HEAD", bag=shop.tags[3])

    assert order(shop, job, "A") == (0, 0, [])


def test_a_bolt_put_in_and_not_torqued_yet_is_not_asked_for_again(
    shop: HttpBench, job: str
) -> None:
    shop.remove(job, "HEAD", shop.tags[0])
    shop.issue(job, "A", 4, shop.tags[1])
    shop.fit(job, "HEAD", shop.tags[1])

    assert order(shop, job, "A") == (0, 0, [])


def test_a_second_strip_raises_the_order_again(shop: HttpBench, job: str) -> None:
    assert order(shop, job, "A") == (4, 4, ["4 single-use"])
    renewed(shop, job)
    assert order(shop, job, "A") == (0, 0, [])

    shop.remove(job, "HEAD", shop.tags[2])

    assert order(shop, job, "A") == (4, 4, ["4 single-use"])


def test_a_second_strip_asks_for_spares_again_and_not_twice_for_what_is_good(
    shop: HttpBench, job: str
) -> None:
    shop.remove(job, "SILL", shop.tags[0], broken=1)
    shop.act(job, "discard", bag=shop.tags[0], condition="damaged")
    shop.issue(job, "C", 1, shop.tags[1])
    shop.secure(job, "SILL", bag=shop.tags[0])
    shop.secure(job, "SILL", bag=shop.tags[1])
    assert (order(shop, job, "C"), spare(shop, job, "C")) == ((0, 0, []), 0)

    shop.remove(job, "SILL", shop.tags[2])

    needed, _, why = order(shop, job, "C")
    assert (needed, why, spare(shop, job, "C") > 0) == (0, [], True)
    (line,) = [
        one
        for one in shop.look(f"/jobs/{job}/refit")["steps"][0]["positions"]
        if one["id"] == "SILL"
    ]
    assert (line["to_fit"], line["not_there"]) == (4, 0)
    assert shop.refused(job, "fit", position="HEAD", bag=shop.tags[2])["reason"] == "wrong-bag"


def test_what_breaks_in_place_is_asked_for(shop: HttpBench, job: str) -> None:
    renewed(shop, job)
    shop.act(job, "broke", position="HEAD")
    shop.act(job, "broke", position="RAIL")

    assert order(shop, job, "A") == (1, 1, ["1 single-use"])
    assert order(shop, job, "B") == (1, 1, ["1 broke"])


def test_a_bolt_that_breaks_where_it_stands_was_not_tightened_a_second_time(
    shop: HttpBench, job: str
) -> None:
    renewed(shop, job)

    shop.act(job, "broke", position="HEAD")

    assert opened(shop, job) == [("damaged", "HEAD", 1)]


# And again: pieces that may be used a few times -------------------------------------------------


@pytest.fixture
def van(shop: HttpBench) -> str:
    published(shop, step("S1", 10, position("ARM", LIMITED, sets=2)))
    return vehicle(shop)


def parts_of(shop: HttpBench, job: str) -> Json:
    """The line of the part on the strip list."""
    return dict(shop.look(f"/jobs/{job}/steps")["steps"][0]["positions"][0]["parts"][0])


def first_job(shop: HttpBench, van: str) -> str:
    """Both bolts off; nobody knows their uses; one has one mark, the other is renewed."""
    job = job_on(shop, van)
    shop.remove(job, "ARM", shop.tags[0])
    shop.act(job, "inspect", part="E", bag=shop.tags[0], quantity=1, result="pass", uses=1)
    shop.secure(job, "ARM", bag=shop.tags[0], quantity=1, part="E")
    shop.act(job, "discard", bag=shop.tags[0])
    shop.issue(job, "E", 1, shop.tags[1])
    shop.secure(job, "ARM", bag=shop.tags[1])
    return job


def known(body: Json) -> list[tuple[int, int | None]]:
    """What a release hands on: how many with how many uses."""
    return [
        (one["quantity"], one.get("uses"))
        for one in body["effects"]
        if one["effect"] == "uses-known"
    ]


def test_unknown_history_is_asked_for_and_never_taken_for_none(shop: HttpBench, van: str) -> None:
    job = job_on(shop, van)
    assert "2 used nobody knows how often: count the marks" in parts_of(shop, job)["uses"]
    shop.remove(job, "ARM", shop.tags[0])

    asked = shop.refused(job, "fit", position="ARM", bag=shop.tags[0])

    assert asked["reason"] == "not-inspected"
    assert "count the marks" in asked["detail"]
    shop.act(job, "inspect", part="E", bag=shop.tags[0], result="pass")
    assert shop.refused(job, "fit", position="ARM", bag=shop.tags[0])["reason"] == "not-inspected"
    shop.act(job, "inspect", part="E", bag=shop.tags[0], result="pass", uses=1)
    shop.secure(job, "ARM", bag=shop.tags[0])
    assert known(release(shop, job)) == [(2, 2)]


def test_what_nobody_looked_at_is_handed_on_as_unknown(shop: HttpBench, van: str) -> None:
    job = job_on(shop, van)

    assert known(release(shop, job)) == [(2, None)]

    again = job_on(shop, van)
    shop.remove(again, "ARM", shop.tags[0])
    asked = shop.refused(again, "fit", position="ARM", bag=shop.tags[0])
    assert asked["reason"] == "not-inspected"


def test_the_count_follows_the_piece_into_the_next_job(shop: HttpBench, van: str) -> None:
    job = first_job(shop, van)
    assert known(release(shop, job)) == [(1, 1), (1, 2)]

    again = job_on(shop, van)

    assert parts_of(shop, again)["uses"] == (
        "1 used 1 of 2 times, 1 used 2 of 2 times: no use left"
    )
    assert order(shop, again, "E") == (1, 1, ["1 used up: may be used 2 times, used 2"])
    (opening,) = [one["act"] for one in shop.look(f"/jobs/{again}/ledger?kind=open")["acts"]]
    carried = [one for one in opening["effects"] if one["effect"] == "uses-carried"]
    assert [(one["position"], one["quantity"], one["uses"], one["job"]) for one in carried] == [
        ("ARM", 1, 1, job),
        ("ARM", 1, 2, job),
    ]


def test_a_piece_with_a_use_left_goes_back_unseen_and_one_without_does_not(
    shop: HttpBench, van: str
) -> None:
    release(shop, first_job(shop, van))
    job = job_on(shop, van)
    shop.remove(job, "ARM", shop.tags[2])
    tag = shop.look(f"/tags/{shop.tags[2]}")
    assert "1 used 1 of 2 times, 1 used 2 of 2 times: no use left" in tag["next"]

    refused = shop.refused(job, "secure", position="ARM", bag=shop.tags[2])
    assert refused["reason"] == "used-up"
    shop.secure(job, "ARM", bag=shop.tags[2], quantity=1, part="E")
    refused = shop.refused(job, "secure", position="ARM", bag=shop.tags[2])
    assert (refused["reason"], "1 used 2 of 2 times" in refused["detail"]) == ("used-up", True)
    assert order(shop, job, "E") == (1, 1, ["1 used up: may be used 2 times, used 2"])

    shop.act(job, "discard", bag=shop.tags[2])
    shop.issue(job, "E", 1, shop.tags[3])
    shop.secure(job, "ARM", bag=shop.tags[3])
    assert (opened(shop, job), order(shop, job, "E")) == ([], (0, 0, []))
    assert known(release(shop, job)) == [(1, 1), (1, 2)]


def test_used_up_and_put_in_anyway_it_waits_for_quality(shop: HttpBench, van: str) -> None:
    release(shop, first_job(shop, van))
    job = job_on(shop, van)
    shop.remove(job, "ARM", shop.tags[2])

    shop.act(
        job, "secure", position="ARM", bag=shop.tags[2], already_done={"reason": "none in stock"}
    )

    assert opened(shop, job) == [("done-anyway", "ARM", 1)]
    shop.act(job, "accept", "quality", finding="done-anyway", reason="ordered, next service")
    assert known(release(shop, job)) == [(1, 2), (1, 3)]


def test_marks_counted_overrule_what_was_handed_on(shop: HttpBench, van: str) -> None:
    release(shop, first_job(shop, van))
    job = job_on(shop, van)
    shop.remove(job, "ARM", shop.tags[2])
    shop.act(job, "inspect", part="E", bag=shop.tags[2], result="pass", uses=2)

    assert shop.refused(job, "fit", position="ARM", bag=shop.tags[2], quantity=1, part="E")[
        "reason"
    ] == ("used-up")


def test_loosened_and_tightened_again_is_a_use_more(shop: HttpBench, van: str) -> None:
    release(shop, first_job(shop, van))
    job = job_on(shop, van)
    shop.act(job, "loosen", position="ARM")

    assert shop.refused(job, "secure", position="ARM")["reason"] == "used-up"
    shop.secure(job, "ARM", quantity=1, part="E")
    shop.act(job, "loosen", position="ARM")
    assert shop.refused(job, "secure", position="ARM", quantity=1, part="E")["reason"] == "used-up"


def test_a_new_one_starts_at_none_because_it_came_new(shop: HttpBench, van: str) -> None:
    job = job_on(shop, van)
    shop.remove(job, "ARM", shop.tags[0])
    shop.act(job, "discard", bag=shop.tags[0])
    shop.issue(job, "E", 2, shop.tags[1])
    shop.secure(job, "ARM", bag=shop.tags[1])
    shop.remove(job, "ARM", shop.tags[2])

    shop.secure(job, "ARM", bag=shop.tags[2])

    assert known(release(shop, job)) == [(2, 2)]


def test_a_position_keeps_its_counts_over_revisions_and_loses_them_with_its_name(
    shop: HttpBench, van: str
) -> None:
    release(shop, first_job(shop, van))
    published(
        shop,
        step("S1", 10, position("ARM", LIMITED, sets=2), position("ARM-NEW", LIMITED, sets=1)),
        number=2,
    )
    job = job_on(shop, van)
    uses = {
        one["id"]: one["parts"][0]["uses"]
        for one in shop.look(f"/jobs/{job}/steps")["steps"][0]["positions"]
    }
    assert uses == {
        "ARM": "1 used 1 of 2 times, 1 used 2 of 2 times: no use left",
        "ARM-NEW": "1 used nobody knows how often: count the marks",
    }
    release(shop, job)

    published(shop, step("S1", 10, position("LEVER", LIMITED, sets=2)), number=3)
    renamed = job_on(shop, van)
    assert parts_of(shop, renamed)["uses"] == "2 used nobody knows how often: count the marks"


def test_another_van_and_another_procedure_know_nothing_of_it(shop: HttpBench, van: str) -> None:
    release(shop, first_job(shop, van))
    published(shop, step("S1", 10, position("ARM", LIMITED, sets=2)), key="brakes")

    others = [job_on(shop, vehicle(shop)), job_on(shop, van, key="brakes")]

    for job in others:
        assert parts_of(shop, job)["uses"] == "2 used nobody knows how often: count the marks"


def test_a_job_never_released_leaves_nothing_known(shop: HttpBench, van: str) -> None:
    first = first_job(shop, van)
    release(shop, first)
    job_on(shop, van)

    third = job_on(shop, van)

    assert parts_of(shop, third)["uses"] == "2 used nobody knows how often: count the marks"


def test_the_last_release_counts_when_a_job_was_reopened(shop: HttpBench, van: str) -> None:
    job = first_job(shop, van)
    release(shop, job)
    shop.act(job, "reopen", "lead", reason="rattles")
    shop.remove(job, "ARM", shop.tags[4])
    shop.act(job, "discard", bag=shop.tags[4])
    shop.issue(job, "E", 2, shop.tags[5])
    shop.secure(job, "ARM", bag=shop.tags[5])
    assert known(release(shop, job)) == [(2, 1)]

    assert parts_of(shop, job_on(shop, van))["uses"] == "2 used 1 of 2 times"


def test_the_refit_list_says_how_often_too(shop: HttpBench, van: str) -> None:
    release(shop, first_job(shop, van))
    job = job_on(shop, van)
    body = shop.remove(job, "ARM", shop.tags[2])

    (line,) = shop.look(f"/jobs/{job}/refit")["steps"][0]["positions"]

    assert line["stack"][0]["uses"] == "1 used 1 of 2 times, 1 used 2 of 2 times: no use left"
    assert [one["quantity"] for one in line["sources"]] == [1]
    assert line["not_there"] == 1
    assert warned(body) == ""
    assert shop.get(f"/jobs/{job}/refit.pdf").status_code == 200
