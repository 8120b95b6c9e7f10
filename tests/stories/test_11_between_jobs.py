"""Two vans side by side: borrowed clips, a robbed bracket, a bolt on the floor between them."""

from __future__ import annotations

import pytest
from http_bench import HttpBench, Json
from ledger_bench import position, step
from vans import finding, opened, release

from partsvc.domain.places import secured

STEPS = (
    step(
        "S1",
        10,
        position("CLIPS", {"part": "C"}, sets=3),
        position("BRACKET", {"part": "E"}, sets=1),
        position("BOLTS", {"part": "B"}, sets=2),
    ),
)
Kinds = list[tuple[str, str, int]]


@pytest.fixture
def van(shop: HttpBench) -> str:
    """Job 1: the van whose parts the other one wants."""
    return shop.open_job(*STEPS)


@pytest.fixture
def neighbour(shop: HttpBench, van: str) -> str:
    """Job 2, in the next bay."""
    return shop.open_job(*STEPS)


def told(shop: HttpBench, job: str, *kinds: str) -> list[str]:
    """What is said of the open findings of these kinds."""
    account = shop.look(f"/jobs/{job}/reconciliation")
    return [one["words"] for one in account["findings"] if one["kind"] in kinds]


def kinds(shop: HttpBench, job: str) -> list[str]:
    return [one[0] for one in opened(shop, job)]


def lend_a_clip(shop: HttpBench, van: str, **members: object) -> Json:
    """One of this van's three clips goes over to job 2."""
    shop.remove(van, "CLIPS", shop.tags[0])
    return shop.act(van, "lend", bag=shop.tags[0], part="C", to_job="2", **members)


def borrow_it(shop: HttpBench, neighbour: str, **members: object) -> Json:
    return shop.act(neighbour, "borrow", bag=shop.tags[1], part="C", from_job="1", **members)


# Lent and borrowed


def test_both_books_name_each_other_and_the_lender_is_short(
    shop: HttpBench, van: str, neighbour: str
) -> None:
    lent = lend_a_clip(shop, van, words="one of ours broke")
    assert "Have it recorded on job 2 too" in lent["warnings"][0]
    assert [one["number"] for one in lent["effects"] if one["effect"] == "lent"] == [2]
    # Told by one side only: both ask.
    assert told(shop, van, "between-jobs") == [
        "1 trim clip (C) lent to job 2, which has not recorded that it has them. Have it recorded "
        "there (borrow)."
    ]
    assert told(shop, neighbour, "between-jobs") == [
        "Job 1 says 1 trim clip (C) came here (one of ours broke), and nothing here says so. "
        "Look, and record what came (borrow)."
    ]

    borrowed = borrow_it(shop, neighbour, position="CLIPS")

    assert borrowed["warnings"] == []
    assert "between-jobs" not in kinds(shop, van) + kinds(shop, neighbour)
    shop.secure(van, "CLIPS", bag=shop.tags[0])
    (words,) = told(shop, van, "lent")
    assert "1 trim clip (C) lent to job 2 (step 10, at CLIPS)" in words
    assert finding(shop, van, "lent")["gravity"] == "high"
    (ordered,) = shop.look(f"/jobs/{van}/order")["lines"]
    assert ordered["why"] == ["1 lent to job 2"]


def test_a_borrowed_clip_is_given_back(shop: HttpBench, van: str, neighbour: str) -> None:
    lend_a_clip(shop, van)
    borrow_it(shop, neighbour)

    shop.act(neighbour, "lend", bag=shop.tags[1], part="C", to_job="1")
    shop.act(van, "borrow", bag=shop.tags[0], part="C", from_job="2")
    shop.secure(van, "CLIPS", bag=shop.tags[0])

    assert opened(shop, van) == []
    # It came home: it is a piece of this van's again, not one that was lent to it.
    in_place = shop.ledger.look(van).book.at(secured("CLIPS"))
    assert [(held.spot.lot, held.quantity) for held in in_place] == [("CLIPS", 3)]


def test_a_clip_that_never_comes_back_is_replaced_by_a_new_one(
    shop: HttpBench, van: str, neighbour: str
) -> None:
    lend_a_clip(shop, van)
    borrow_it(shop, neighbour)
    shop.secure(van, "CLIPS", bag=shop.tags[0])
    assert kinds(shop, van) == ["lent"]

    shop.issue(van, "C", 1, shop.tags[2])
    shop.secure(van, "CLIPS", bag=shop.tags[2])

    assert opened(shop, van) == []


def test_a_robbed_bracket_stays_a_finding_after_the_other_van_has_left_with_it(
    shop: HttpBench, van: str, neighbour: str
) -> None:
    shop.act(neighbour, "missing", position="BRACKET")
    robbed = shop.act(van, "lend", position="BRACKET", part="E", to_job=neighbour)
    assert robbed["balances"] == [
        {**robbed["balances"][0], "place": "secured:BRACKET", "quantity": 0}
    ]
    shop.act(
        neighbour, "borrow", bag=shop.tags[1], part="E", from_job=van, position="BRACKET",
        words="ours was missing",
    )  # fmt: skip
    shop.secure(neighbour, "BRACKET", bag=shop.tags[1])
    shop.act(neighbour, "seen-empty", bags=[shop.tags[1]])
    release(shop, neighbour)

    (words,) = told(shop, van, "lent")
    assert "lent to job 2 (step 10, at BRACKET)" in words
    shop.act(van, "accept", "quality", finding="lent", reason="customer waits for the new one")
    assert opened(shop, van) == []


def test_a_bracket_behind_something_is_not_robbed_before_that_is_off(shop: HttpBench) -> None:
    van = shop.open_job(
        step("S1", 10, position("COVER", {"part": "C"}, sets=1)),
        step("S2", 20, position("DEEP", {"part": "E"}, sets=1), after=["S1"]),
    )
    shop.open_job(*STEPS)

    refused = shop.refused(van, "lend", position="DEEP", part="E", to_job="2")

    assert (refused["reason"], refused["first_step"]) == ("step-first", "S1")


def test_what_was_taken_over_without_a_word_is_asked_for_on_both_sides(
    shop: HttpBench, van: str, neighbour: str
) -> None:
    said = borrow_it(shop, neighbour)
    assert said["warnings"] == [
        "Job 1 does not say that it gave 1 of these. Have it recorded there too (lend)."
    ]
    assert "Job 2 says it took 1 trim clip (C) from here" in told(shop, van, "between-jobs")[0]
    assert "which does not say so" in told(shop, neighbour, "between-jobs")[0]

    shop.act(van, "lend", position="CLIPS", part="C", to_job="2")

    assert "between-jobs" not in kinds(shop, van) + kinds(shop, neighbour)


def test_a_loan_is_between_two_jobs_that_there_are(
    shop: HttpBench, van: str, neighbour: str
) -> None:
    def refused(job: str, to_job: str) -> tuple[int, str]:
        found = shop.refused(job, "lend", position="CLIPS", part="C", to_job=to_job)
        return found["status"], found["code"]

    assert refused(van, "1") == (422, "invalid")
    assert refused(van, "77") == (404, "not-found")
    assert refused(van, "workshop") == (422, "invalid")


def test_a_loan_recorded_by_a_slip_is_reversed(shop: HttpBench, van: str, neighbour: str) -> None:
    lent = shop.act(van, "lend", position="CLIPS", part="C", to_job="2")
    shop.act(van, "reverse", act=lent["key"], reason="wrong van")

    assert (opened(shop, van), opened(shop, neighbour)) == ([], [])


def test_new_clips_from_a_kit_are_lent_and_missed_where_they_were_to_go(
    shop: HttpBench, van: str, neighbour: str
) -> None:
    shop.remove(van, "CLIPS", shop.tags[0], broken=3)
    shop.act(van, "discard", bag=shop.tags[0])
    shop.issue(van, "C", 3, shop.tags[2])
    shop.act(van, "lend", bag=shop.tags[2], part="C", quantity=2, to_job="2")
    shop.act(neighbour, "borrow", bag=shop.tags[1], part="C", quantity=2, from_job="1")
    assert shop.ledger.at(neighbour, f"bag:{shop.tags[1]}") == {"C new": 2}

    assert [one[0] for one in opened(shop, van)] == ["lent", "not-back"]
    assert finding(shop, van, "lent")["quantity"] == 2


# A bolt on the floor


def lose_a_bolt(shop: HttpBench, job: str, bag: str) -> None:
    shop.remove(job, "BOLTS", bag)
    shop.act(job, "lose", part="B", bag=bag)


def found_in_the_bay(shop: HttpBench, **members: object) -> str:
    """A technician picks it up; answers what the book calls it."""
    act = shop.payload("stray", bag=shop.tags[5], words="long bolt, between the vans", **members)
    found = shop.made("/workshop/acts", act)
    return f"stray:{found['key']}"


def identified(shop: HttpBench, what: str, who: str = "lead", **members: object) -> Json:
    return shop.made("/workshop/acts", shop.payload("identify", what=what, **members), who)


def test_a_bolt_on_the_floor_could_be_of_either_van_and_settles_what_was_lost_in_one(
    shop: HttpBench, van: str, neighbour: str
) -> None:
    lose_a_bolt(shop, van, shop.tags[0])
    lose_a_bolt(shop, neighbour, shop.tags[1])
    stray = found_in_the_bay(shop, looks_like="B")

    listed = shop.look("/strays")
    (one,) = listed["strays"]
    assert (one["stray"], one["words"], listed["jobs_compared"]) == (
        stray, "long bolt, between the vans", 2,
    )  # fmt: skip
    could_be = [(c["job_number"], c["kind"], c["position"]) for c in one["could_be"]]
    assert could_be == [(1, "lost", "BOLTS"), (2, "lost", "BOLTS")]
    assert one["could_be"][0]["why"] == "lost there; the same part by its looks"

    placed = identified(
        shop, stray, is_a="of-job", of_job="2", part="B", reason="fresh paint on it"
    )
    assert "Have it taken in on job 2" in placed["warnings"][0]
    assert shop.look("/strays")["strays"] == []
    assert "The workshop says 1 long bolt (B) came here" in told(shop, neighbour, "between-jobs")[0]

    shop.act(neighbour, "borrow", bag=shop.tags[1], part="B", from_job="workshop")

    shop.secure(neighbour, "BOLTS", bag=shop.tags[1])
    assert opened(shop, neighbour) == []
    assert "lost" in kinds(shop, van)


def test_a_job_that_finds_what_it_lost_takes_in_what_the_workshop_gave_it(
    shop: HttpBench, van: str
) -> None:
    lose_a_bolt(shop, van, shop.tags[0])
    stray = found_in_the_bay(shop)
    identified(shop, stray, is_a="of-job", of_job=van, part="B")

    shop.act(van, "find", part="B", bag=shop.tags[0])

    assert set(kinds(shop, van)) == {"not-back"}


def test_what_was_missing_on_arrival_is_settled_by_what_lay_in_the_bay(
    shop: HttpBench, van: str
) -> None:
    shop.act(van, "missing", position="BRACKET")
    stray = found_in_the_bay(shop)
    identified(shop, stray, is_a="of-job", of_job=van, part="E")
    said = shop.act(van, "borrow", bag=shop.tags[0], part="E", from_job="workshop")

    assert said["warnings"] == ["1 that were lost or missing here are settled by it."]
    shop.secure(van, "BRACKET", bag=shop.tags[0])
    assert opened(shop, van) == []


def test_what_was_measured_ranks_the_places_it_could_be_of(shop: HttpBench, van: str) -> None:
    measured(shop, "B", "long bolt", 60)
    measured(shop, "E", "reaction bolt", 30)
    shop.act(van, "missing", position="BRACKET")
    lose_a_bolt(shop, van, shop.tags[0])
    found_in_the_bay(shop, thread="M8", length_mm=30)

    (one,) = shop.look("/strays")["strays"]

    assert [c["position"] for c in one["could_be"]] == ["BRACKET", "BOLTS"]
    assert "30 mm shorter" in one["could_be"][1]["why"]


def measured(shop: HttpBench, number: str, name: str, length_mm: int) -> None:
    """The catalogue knows how long a bolt is."""
    part = {
        "number": number, "name": name, "kind": "bolt", "thread": "M8", "drive": "hex 13",
        "length_mm": length_mm,
    }  # fmt: skip
    tag = shop.get(f"/parts/{number}").headers["ETag"]
    done = shop.put(f"/parts/{number}", part, "desk", headers={"If-Match": tag})
    assert done.status_code == 200, done.text


def test_a_van_that_left_last_week_is_still_held_against_what_is_found(
    shop: HttpBench, van: str
) -> None:
    shop.act(van, "missing", position="BRACKET")
    shop.act(
        van, "accept", "quality", finding="missing-on-arrival", reason="customer knows, next visit"
    )
    release(shop, van)
    found_in_the_bay(shop, looks_like="E")

    (one,) = shop.look("/strays")["strays"]

    assert [(c["job"], c["job_state"]) for c in one["could_be"]] == [(van, "released")]


def test_what_nobody_knows_is_thrown_away_with_a_reason_and_the_stores_own_goes_back(
    shop: HttpBench,
) -> None:
    first = found_in_the_bay(shop)
    refused = shop.post(
        "/workshop/acts", shop.payload("identify", what=first, is_a="not-known"), "lead"
    )
    assert refused.status_code == 422
    identified(shop, first, is_a="not-known", reason="asked all, worn thread")
    second = found_in_the_bay(shop)
    identified(shop, second, is_a="stores-own", part="C")

    assert shop.look("/strays")["strays"] == []
    assert shop.ledger.at("workshop", "stock:main") == {"C new": 1}


def test_the_tag_of_the_bay_is_the_workshops(shop: HttpBench, van: str) -> None:
    found_in_the_bay(shop)

    assert "Found in the bay" in shop.look(f"/tags/{shop.tags[5]}")["next"]
    refused = shop.refused(van, "remove", position="CLIPS", bag=shop.tags[5])
    assert refused["reason"] == "tag-of-another-job"
    assert "the workshop" in refused["detail"]


def test_a_stray_in_a_jobs_bag_turns_out_to_be_the_neighbours(
    shop: HttpBench, van: str, neighbour: str
) -> None:
    found = shop.act(van, "stray", bag=shop.tags[0], words="a clip")
    shop.act(
        van, "identify", what=f"stray:{found['key']}", is_a="not-of-this-job", of_job="2", part="C"
    )
    assert "Job 1 says 1 trim clip (C) came here" in told(shop, neighbour, "between-jobs")[0]

    borrow_it(shop, neighbour)

    assert "between-jobs" not in kinds(shop, van) + kinds(shop, neighbour)
