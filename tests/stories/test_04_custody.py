"""The service plug is out: who holds it, whose locks are on, and who may switch on again."""

from __future__ import annotations

from typing import Any

import pytest
from http_bench import HttpBench, Json
from ledger_bench import position, step


@pytest.fixture
def job(shop: HttpBench) -> str:
    """A van whose plug (step 20) brings voltage back, and a cover before it (step 10)."""
    return shop.open_job(
        step("COVER", 10, position("C1", {"part": "C"}, sets=4)),
        step(
            "PLUG",
            20,
            position("SP", {"part": "B"}, sets=1),
            after=["COVER"],
            energises=True,
            hazards=["high-voltage"],
        ),
        step("PACK", 30, position("P1", {"part": "W"}, sets=2), after=["PLUG"]),
    )


@pytest.fixture
def k(shop: HttpBench) -> str:
    return shop.tags[0]


def pull_the_plug(shop: HttpBench, job: str, k: str, **asked: Any) -> Json:
    shop.remove(job, "C1", k)
    return shop.act(job, "remove", position="SP", **({"with_person": "tech"} | asked))


def custody(shop: HttpBench, job: str) -> Any:
    return shop.look(f"/jobs/{job}/custody")


def findings(shop: HttpBench, job: str) -> list[tuple[str, str]]:
    found = shop.look(f"/jobs/{job}/reconciliation")["findings"]
    return [(one["kind"], one["place"]) for one in found]


def take_as_it_is(shop: HttpBench, job: str, kind: str) -> None:
    shop.act(job, "accept", "quality", finding=kind, reason="seen with both of them")


def test_the_plug_goes_into_the_lock_box_of_whoever_pulled_it(
    shop: HttpBench, job: str, k: str
) -> None:
    pulled = pull_the_plug(shop, job, k)

    assert [one["to"]["place"] for one in pulled["entries"]] == ["with:tech"]
    (held,) = custody(shop, job)["held"]
    assert (held["name"], held["quantity"], held["position"]) == ("tech", 1, "SP")
    assert held["energises"]
    assert ("with-person", "with:tech") in findings(shop, job)
    assert ("short", "SP") not in findings(shop, job)


def test_pulled_for_another_it_stays_with_the_puller_until_the_other_takes_it(
    shop: HttpBench, job: str, k: str
) -> None:
    pulled = pull_the_plug(shop, job, k, with_person="mate")

    assert pulled["warnings"] == ["It is with you until mate takes it over, on their own sign-in."]
    assert [one["name"] for one in custody(shop, job)["held"]] == ["tech"]

    shop.act(job, "hand-over", "mate", to="mate")

    assert [one["name"] for one in custody(shop, job)["held"]] == ["mate"]
    assert custody(shop, job)["asked"] == []


def test_a_hand_over_said_by_the_giver_moves_nothing_and_asks_the_taker(
    shop: HttpBench, job: str, k: str
) -> None:
    pull_the_plug(shop, job, k)

    offered = shop.act(job, "hand-over", to="mate")

    assert offered["entries"] == []
    assert "until mate takes it over" in offered["warnings"][0]
    asked = custody(shop, job)["asked"]
    assert [(one["from_name"], one["to_name"], one["quantity"]) for one in asked] == [
        ("tech", "mate", 1)
    ]
    assert asked[0]["words"] == "mate is asked to take over from tech: long bolt (B)."

    taken = shop.act(job, "hand-over", "mate", to="mate")

    assert [one["to"]["place"] for one in taken["entries"]] == ["with:mate"]
    assert custody(shop, job)["asked"] == []


def test_the_taker_takes_it_over_at_the_end_of_the_shift_without_being_asked_first(
    shop: HttpBench, job: str, k: str
) -> None:
    pull_the_plug(shop, job, k)

    shop.act(job, "hand-over", "mate", to="mate", from_person="tech", position="SP")

    assert [one["name"] for one in custody(shop, job)["held"]] == ["mate"]


def test_nothing_is_handed_over_that_is_not_there_or_to_nobody(
    shop: HttpBench, job: str, k: str
) -> None:
    nothing = shop.refused(job, "hand-over", to="mate")
    assert nothing["reason"] == "nothing-there"

    pull_the_plug(shop, job, k)
    assert shop.refused(job, "hand-over", to="nobody")["status"] == 404
    assert shop.refused(job, "hand-over", "mate", to="tech", from_person="tech")["status"] == 422
    assert shop.refused(job, "hand-over", "mate", to="mate", part="C")["status"] == 422


def test_whoever_holds_the_plug_puts_it_back_in_one_scan(shop: HttpBench, job: str, k: str) -> None:
    pull_the_plug(shop, job, k)

    back = shop.secure(job, "SP")

    places = [(one["from"]["place"], one["to"]["place"]) for one in back["entries"]]
    assert places == [("with:tech", "loose:SP"), ("loose:SP", "secured:SP")]
    assert custody(shop, job)["held"] == []
    assert findings(shop, job) == [("not-back", "C1")]


def test_nobody_plugs_in_what_is_in_anothers_box(shop: HttpBench, job: str, k: str) -> None:
    pull_the_plug(shop, job, k)

    plugged = {"position": "SP", "from_person": "tech"}
    refused = shop.refused(job, "secure", "mate", **plugged)

    assert refused["reason"] == "locked-by-others"
    assert "is in another person's lock box. Have it handed over first" in refused["detail"]
    shop.act(job, "hand-over", "mate", to="mate")
    shop.act(job, "secure", "mate", position="SP")
    assert custody(shop, job)["held"] == []


def test_two_people_hang_two_locks_and_nobody_switches_on_until_both_are_off(
    shop: HttpBench, job: str, k: str
) -> None:
    pull_the_plug(shop, job, k)
    shop.act(job, "lock", step="PLUG")
    shop.act(job, "lock", "mate", step="PLUG")
    locks = custody(shop, job)["locks"]
    assert [(one["name"], one["step_number"]) for one in locks] == [("tech", 20), ("mate", 20)]

    refused = shop.refused(job, "fit", position="SP")

    assert refused["reason"] == "locked-by-others"
    assert "another person's lock is on the vehicle" in refused["detail"]
    assert refused["people"] == ["mate"]

    shop.act(job, "unlock", "mate", step="PLUG")
    fitted = shop.act(job, "fit", position="SP")
    assert "Your own lock is still on: take it off, and record it." in fitted["warnings"]
    assert ("lock-on", "PLUG") in findings(shop, job)
    shop.act(job, "unlock", step="PLUG")
    assert ("lock-on", "PLUG") not in findings(shop, job)


def test_a_lock_is_taken_off_by_whose_it_is(shop: HttpBench, job: str) -> None:
    shop.act(job, "lock", "mate")

    assert shop.refused(job, "unlock")["reason"] == "nothing-there"
    refused = shop.refused(job, "unlock", person="mate")
    assert refused["reason"] == "anothers-lock"
    assert "This is the lock of mate: only they take it off" in refused["detail"]
    (first,) = shop.look(f"/jobs/{job}/refused")["refused"][1:]
    assert first["detail"].startswith("This is the lock of mate:")
    # Saying that mate did it is not mate's own sign-in.
    assert shop.refused(job, "unlock", by="mate")["reason"] == "anothers-lock"
    shop.act(job, "unlock", "mate")


def test_the_lead_removes_a_lock_by_the_workshops_procedure_and_that_is_grave(
    shop: HttpBench, job: str
) -> None:
    shop.act(job, "lock", "mate")

    shop.act(
        job, "unlock", "lead", person="mate",
        already_done={"reason": "mate is at home ill; van searched, both leads agreed"},
    )  # fmt: skip

    found = shop.look(f"/jobs/{job}/reconciliation")["findings"]
    (removed,) = [one for one in found if one["kind"] == "lock-removed"]
    assert removed["gravity"] == "high"
    assert "The lock of mate was taken off by lead." in removed["words"]
    assert [one for one in found if one["kind"] in ("done-anyway", "lock-on")] == []

    take_as_it_is(shop, job, "lock-removed")
    assert "lock-removed" not in [kind for kind, _ in findings(shop, job)]


def test_switching_on_against_a_lock_stops_the_job(shop: HttpBench, job: str, k: str) -> None:
    pull_the_plug(shop, job, k)
    shop.act(job, "lock", "mate")

    shop.act(job, "fit", position="SP", already_done={"reason": "it was late, nobody was there"})

    assert ("hold-passed-by", "SP") in findings(shop, job)
    assert shop.refused(job, "remove", position="P1", bag=shop.tags[1])["reason"] == "job-stopped"
    take_as_it_is(shop, job, "hold-passed-by")
    assert "hold-passed-by" not in [kind for kind, _ in findings(shop, job)]


def test_a_slip_is_not_undone_out_of_anothers_box(shop: HttpBench, job: str, k: str) -> None:
    pulled = pull_the_plug(shop, job, k)
    undo = {"act": pulled["key"], "reason": "wrong van"}
    taken = shop.act(job, "hand-over", "mate", to="mate")

    assert shop.refused(job, "reverse", "tech", **undo)["reason"] == "locked-by-others"
    handed = shop.refused(job, "reverse", "mate", act=taken["key"], reason="not me")
    assert handed["detail"] == (
        "A hand-over is not undone: hand it back, and the other takes it over."
    )

    shop.act(job, "hand-over", "tech", to="tech")
    shop.act(job, "reverse", "tech", **undo)
    assert custody(shop, job)["held"] == []


def test_an_offer_is_withdrawn(shop: HttpBench, job: str, k: str) -> None:
    pull_the_plug(shop, job, k)
    offered = shop.act(job, "hand-over", to="mate")

    shop.act(job, "reverse", act=offered["key"], reason="mate has gone home")

    assert custody(shop, job)["asked"] == []


def test_pulling_the_plug_is_undone_only_by_whoever_holds_it(
    shop: HttpBench, job: str, k: str
) -> None:
    pulled = pull_the_plug(shop, job, k)
    undo = {"act": pulled["key"], "reason": "scanned on the wrong van"}

    assert shop.refused(job, "reverse", "mate", **undo)["reason"] == "with-another"
    shop.act(job, "lock", "mate")
    assert shop.refused(job, "reverse", **undo)["reason"] == "locked-by-others"
    shop.act(job, "unlock", "mate")
    shop.act(job, "reverse", **undo)

    assert custody(shop, job)["held"] == []


def test_what_is_left_in_a_lock_box_is_put_into_a_bag(shop: HttpBench, job: str, k: str) -> None:
    pull_the_plug(shop, job, k)

    shop.act(job, "rebag", from_person="tech", into=k)

    assert custody(shop, job)["held"] == []
    assert ("not-back", "SP") in findings(shop, job)
    again = shop.refused(job, "rebag", from_person="tech", into=k)
    assert again["reason"] == "nothing-there"


def test_lists_and_papers_say_who_holds_the_plug(shop: HttpBench, job: str, k: str) -> None:
    pull_the_plug(shop, job, k)
    shop.act(job, "lock", "mate")

    said = shop.look(f"/jobs/{job}/steps")["custody"]

    assert any(words.startswith("The lock of mate is on the vehicle, since ") for words in said)
    assert "1 long bolt (B) of step 20, at SP, with tech." in said
    refit = shop.look(f"/jobs/{job}/refit")
    assert refit["custody"] == said
    (plug,) = [one for step in refit["steps"] for one in step["positions"] if one["id"] == "SP"]
    assert [one["place"] for one in plug["sources"]] == ["the box of tech"]
