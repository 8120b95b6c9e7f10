"""Already done: whatever was refused and had happened is told, marked, and judged by another."""

from __future__ import annotations

from typing import Any

import pytest
from http_bench import HttpBench, Json, problem
from ledger_bench import position, step

LATE = {"already_done": {"reason": "it was off before I looked at the list"}}
DEAD: Json = {
    "id": "H1",
    "title": "proved dead",
    "high_voltage": True,
    "readings": [{"name": "plus to minus", "unit": "V", "limit": "5"}],
}
FREE: Json = {"id": "H2", "title": "harness seen free"}
READ = [{"name": "plus to minus", "value": "0.2", "unit": "V"}]


def findings(shop: HttpBench, job: str) -> list[Json]:
    """What is open in the book of a job."""
    return list(shop.look(f"/jobs/{job}/reconciliation", "quality")["findings"])


def kinds(shop: HttpBench, job: str, *wanted: str) -> list[tuple[str, str, int]]:
    """What is open of these kinds, as kind, place and number."""
    found = [(one["kind"], one["place"], one["quantity"]) for one in findings(shop, job)]
    return [one for one in found if one[0] in wanted]


def take(shop: HttpBench, job: str, finding: Json, who: str = "quality") -> Json:
    """Quality takes one finding as it stands."""
    named = {name: finding[name] for name in ("place", "part", "lot") if finding[name]}
    return shop.act(job, "accept", who, finding=finding["kind"], reason="looked at it", **named)


def take_all(shop: HttpBench, job: str, *wanted: str) -> None:
    """Quality takes every finding of these kinds."""
    for finding in findings(shop, job):
        if finding["kind"] in wanted:
            take(shop, job, finding)


# An ordinary hold, a prerequisite


def test_an_ordinary_hold_passed_by_waits_for_quality_and_stops_nobody(shop: HttpBench) -> None:
    job = shop.open_job(step("S1", 10, position("P1", {"part": "B"}, sets=2), holds=[FREE]))
    bag = shop.tags[0]
    assert shop.refused(job, "remove", position="P1", bag=bag)["reason"] == "hold-open"

    shop.remove(job, "P1", bag, **LATE)
    shop.secure(job, "P1", bag=bag)

    assert kinds(shop, job, "done-anyway", "hold-passed-by") == [("done-anyway", "P1", 1)]
    assert shop.look(f"/jobs/{job}")["stopped"] is False
    take_all(shop, job, "done-anyway")
    assert kinds(shop, job, "done-anyway") == []


def test_a_step_taken_off_before_its_turn_is_posted_and_told(shop: HttpBench) -> None:
    job = shop.open_job(
        step("S1", 10, position("P1", {"part": "B"}, sets=2)),
        step("S2", 20, position("P2", {"part": "C"}, sets=3), after=["S1"]),
    )
    assert shop.refused(job, "remove", position="P2", bag=shop.tags[0])["reason"] == "step-first"

    shop.remove(job, "P2", shop.tags[0], **LATE)

    assert shop.ledger.at(job, f"bag:{shop.tags[0]}") == {"C": 3}
    assert kinds(shop, job, "done-anyway") == [("done-anyway", "P2", 1)]


# High voltage: the job stops


@pytest.fixture
def live(shop: HttpBench) -> str:
    """A job whose high-voltage hold somebody has gone past."""
    job = shop.open_job(
        step(
            "S1",
            10,
            position("P1", {"part": "B"}, sets=2),
            position("P2", {"part": "C"}, sets=2),
            holds=[DEAD],
            hazards=["high-voltage"],
            temporaries=[{"id": "t1", "words": "insulating cover"}],
        )
    )
    shop.remove(job, "P1", shop.tags[0], **LATE)
    return job


def test_a_high_voltage_hold_passed_by_stops_the_work(shop: HttpBench, live: str) -> None:
    refused = shop.refused(live, "remove", position="P2", bag=shop.tags[1])

    assert refused["reason"] == "job-stopped"
    assert "proved dead" in refused["detail"]
    assert "quality or the lead" in refused["detail"]
    assert kinds(shop, live, "hold-passed-by", "done-anyway") == [("hold-passed-by", "P1", 1)]


def test_everybody_who_looks_sees_that_the_job_is_stopped(shop: HttpBench, live: str) -> None:
    assert shop.look(f"/jobs/{live}")["stopped"] is True
    assert [one["stopped"] for one in shop.look("/jobs")["jobs"]] == [True]
    for view in ("steps", "refit", "reconciliation"):
        assert shop.look(f"/jobs/{live}/{view}")["stopped"].startswith("STOPPED")
    for paper in ("refit.pdf", "reconciliation.pdf"):
        assert shop.get(f"/jobs/{live}/{paper}").status_code == 200


def test_truth_goes_on_while_the_job_is_stopped(shop: HttpBench, live: str) -> None:
    shop.act(live, "remark", words="busbar uncovered", step="S1")
    shop.act(live, "put-on", step="S1", item="t1")
    shop.act(live, "take-off", step="S1", item="t1")
    shop.act(live, "search", where="bay", result="nothing")
    shop.act(live, "hold", "mate", hold="H1", values=READ)
    counted = [{"part": "B", "quantity": 2}]
    shop.act(live, "count", bag=shop.tags[0], counted=counted)
    shop.act(live, "lose", part="B", bag=shop.tags[0])

    # Proved dead afterwards: it is safe now perhaps, and still nobody has judged it.
    assert shop.refused(live, "remove", position="P2", bag=shop.tags[1])["reason"] == "job-stopped"


def test_work_goes_on_when_quality_has_taken_it(shop: HttpBench, live: str) -> None:
    shop.act(live, "hold", hold="H1", values=READ)
    (stop,) = [one for one in findings(shop, live) if one["kind"] == "hold-passed-by"]
    assert shop.post(
        f"/jobs/{live}/acts",
        shop.payload("accept", finding="hold-passed-by", reason="it was nothing"),
    ).status_code == 403  # fmt: skip

    take(shop, live, stop)

    shop.remove(live, "P2", shop.tags[1])
    assert shop.look(f"/jobs/{live}")["stopped"] is False
    assert shop.look(f"/jobs/{live}/steps")["stopped"] == ""


def test_work_on_a_stopped_job_is_one_more_thing_to_judge(shop: HttpBench, live: str) -> None:
    shop.remove(live, "P2", shop.tags[1], **LATE)

    assert kinds(shop, live, "hold-passed-by", "done-anyway") == [
        ("hold-passed-by", "P1", 1), ("hold-passed-by", "P2", 1),
    ]  # fmt: skip
    first = next(one for one in findings(shop, live) if one["kind"] == "hold-passed-by")
    take(shop, live, first)
    assert shop.look(f"/jobs/{live}")["stopped"] is True
    take_all(shop, live, "hold-passed-by")
    assert shop.look(f"/jobs/{live}")["stopped"] is False


def test_whoever_stopped_the_job_does_not_undo_it_to_get_on(shop: HttpBench, live: str) -> None:
    (act,) = [one["lot"] for one in findings(shop, live) if one["kind"] == "hold-passed-by"]

    assert shop.refused(live, "reverse", act=act, reason="scanned wrong")["reason"] == "job-stopped"

    shop.act(live, "reverse", "lead", act=act, reason="scanned at the wrong van, I was there")
    assert shop.look(f"/jobs/{live}")["stopped"] is False
    assert kinds(shop, live, "hold-passed-by") == []


def test_a_high_voltage_hold_passed_without_its_reading_stops_the_job_too(shop: HttpBench) -> None:
    job = shop.open_job(step("S1", 10, position("P1", {"part": "B"}, sets=2), holds=[DEAD]))
    assert shop.refused(job, "hold", hold="H1")["reason"] == "hold-incomplete"

    shop.act(job, "hold", hold="H1", already_done={"reason": "lost the paper with the reading"})

    assert shop.refused(job, "remove", position="P1", bag=shop.tags[0])["reason"] == "job-stopped"
    assert kinds(shop, job, "hold-passed-by") == [("hold-passed-by", "S1", 1)]


# The wrong piece, the wrong number


def test_the_wrong_bag_is_one_finding_until_quality_takes_it(shop: HttpBench) -> None:
    job = shop.open_job(
        step("S1", 10, position("P1", {"part": "B"}, sets=2), position("P2", {"part": "C"}, sets=2))
    )
    shop.remove(job, "P1", shop.tags[0])
    shop.remove(job, "P2", shop.tags[1])
    assert shop.refused(job, "secure", position="P1", bag=shop.tags[1])["reason"] == "wrong-bag"
    shop.secure(job, "P1", bag=shop.tags[1], sets=1, **LATE)

    assert kinds(shop, job, "wrong-part", "done-anyway") == [("wrong-part", "P1", 1)]

    shop.act(job, "remove", position="P1", part="C", bag=shop.tags[1])
    shop.secure(job, "P1", bag=shop.tags[0])
    shop.secure(job, "P2", bag=shop.tags[1])
    assert kinds(shop, job, "wrong-part", "done-anyway") == [("done-anyway", "P1", 1)]
    take_all(shop, job, "done-anyway")
    assert findings(shop, job) == []


def test_five_pieces_where_the_book_says_four(shop: HttpBench) -> None:
    job = shop.open_job(step("S1", 10, position("P1", {"part": "B"}, sets=4)))
    bag = shop.tags[0]
    shop.remove(job, "P1", bag)
    asked = {"position": "P1", "bag": bag, "quantity": 5}
    assert shop.refused(job, "secure", **asked)["reason"] == "more-than-are-there"

    shop.act(job, "secure", **asked, already_done={"reason": "five were in the bag"})

    assert shop.ledger.at(job, "secured:P1") == {"B": 5}
    assert findings(shop, job)[0]["words"].endswith("1 long bolt (B) more than belong there.")
    assert kinds(shop, job, "over", "done-anyway") == [("over", "P1", 1)]
    gates = shop.look(f"/jobs/{job}/reconciliation")["gates"]
    assert gates == {"opening": 4, "addition": 1}

    shop.act(job, "remove", position="P1", part="B", quantity=1, bag=bag)
    shop.act(job, "discard", bag=bag)
    assert [one[:2] for one in kinds(shop, job, "over", "done-anyway", "left-over")] == [
        ("done-anyway", "P1")
    ]
    take_all(shop, job, "done-anyway")
    assert findings(shop, job) == []


def test_five_come_off_where_the_book_says_four(shop: HttpBench) -> None:
    job = shop.open_job(step("S1", 10, position("P1", {"part": "B"}, sets=4)))
    asked = {"position": "P1", "bag": shop.tags[0], "quantity": 5}
    assert shop.refused(job, "remove", **asked)["reason"] == "more-than-are-there"

    shop.act(job, "remove", **asked, already_done={"reason": "five lie in the bag"})

    assert shop.ledger.at(job, f"bag:{shop.tags[0]}") == {"B": 5}
    shop.secure(job, "P1", bag=shop.tags[0], quantity=4)
    assert kinds(shop, job, "left-over", "done-anyway") == [("left-over", f"bag:{shop.tags[0]}", 1)]


def test_an_old_stretch_bolt_put_back_is_found_until_a_new_one_is_in(shop: HttpBench) -> None:
    job = shop.open_job(step("S1", 10, position("P1", {"part": "A", "rule": "replace"}, sets=4)))
    old, kit = shop.tags[:2]
    shop.remove(job, "P1", old)
    shop.issue(job, "A", 4, kit)
    shop.secure(job, "P1", bag=kit, quantity=3)
    assert shop.refused(job, "secure", position="P1", bag=old)["reason"] == "single-use"

    shop.secure(job, "P1", bag=old, quantity=1, **LATE)

    assert kinds(shop, job, "unreplaced", "done-anyway") == [("unreplaced", "P1", 1)]

    shop.act(job, "remove", position="P1", part="A", quantity=1, bag=old)
    shop.secure(job, "P1", bag=kit)
    shop.act(job, "discard", bag=old)
    assert kinds(shop, job, "unreplaced", "done-anyway") == [("done-anyway", "P1", 1)]
    take_all(shop, job, "done-anyway")
    assert findings(shop, job) == []


# Kept on the device, refused later


@pytest.fixture
def back(shop: HttpBench) -> str:
    """A job; the device was away while its pieces came off."""
    return shop.open_job(
        step("S1", 10, position("P1", {"part": "B"}, sets=2)),
        step("S2", 20, position("P2", {"part": "C"}, sets=3), after=["S1"]),
    )


def sent_late(shop: HttpBench, job: str, who: str = "tech", **members: Any) -> Json:
    """An act from a device's queue that is refused; answers what was sent."""
    payload = shop.payload("remove", queued=True, **members)
    found = shop.post(f"/jobs/{job}/acts", payload, who)
    assert found.status_code >= 400, found.text
    problem(found)
    return payload


def ended(shop: HttpBench, job: str) -> list[str]:
    """How the refused acts of a job ended, empty for those that have not."""
    shown = shop.look(f"/jobs/{job}/refused")["refused"]
    queued = [one for one in shown if one["queued"]]
    return [one.get("ended", {}).get("how", "") for one in queued]


def test_a_queued_act_refused_is_found_until_it_is_sent_as_done(shop: HttpBench, back: str) -> None:
    sent = sent_late(shop, back, position="P2", bag=shop.tags[0])
    (found,) = [one for one in findings(shop, back) if one["kind"] == "refused-act"]
    assert (found["place"], found["position"], found["lot"]) == ("P2", "P2", sent["key"])
    assert ended(shop, back) == [""]

    shop.made(f"/jobs/{back}/acts", {**sent, **LATE})

    assert kinds(shop, back, "refused-act", "done-anyway") == [("done-anyway", "P2", 1)]
    assert ended(shop, back) == ["recorded"]


def test_sent_again_and_again_it_is_one_finding(shop: HttpBench, back: str) -> None:
    sent = sent_late(shop, back, position="P2", bag=shop.tags[0])
    for _ in range(2):
        assert shop.post(f"/jobs/{back}/acts", sent).status_code == 409

    assert kinds(shop, back, "refused-act") == [("refused-act", "P2", 1)]
    assert len(shop.look(f"/jobs/{back}/refused")["refused"]) == 3


def test_a_queued_act_is_put_right_by_another(shop: HttpBench, back: str) -> None:
    wrong = sent_late(shop, back, position="nowhere", bag=shop.tags[0])
    assert kinds(shop, back, "refused-act") == [("refused-act", "nowhere", 1)]

    right = shop.remove(back, "P1", shop.tags[0], amends=wrong["key"])

    assert kinds(shop, back, "refused-act") == []
    (shown,) = shop.look(f"/jobs/{back}/refused")["refused"]
    assert (shown["ended"]["how"], shown["ended"]["act"]) == ("amended", right["key"])
    shop.act(back, "reverse", act=right["key"], reason="that was another van")
    assert kinds(shop, back, "refused-act") == [("refused-act", "nowhere", 1)]


def test_a_queued_act_of_the_wrong_role_or_form_is_not_lost_either(
    shop: HttpBench, back: str
) -> None:
    sent_late(shop, back, "desk", position="P1", bag=shop.tags[0])
    sent_late(shop, back, position="P1", bag=shop.tags[0], quantity=0)

    shown = shop.look(f"/jobs/{back}/refused")["refused"]

    assert [one["reason"] for one in shown] == ["not-allowed", "invalid"]
    assert len([one for one in findings(shop, back) if one["kind"] == "refused-act"]) == 2


def test_its_sender_or_a_judge_dismisses_it_and_says_why(shop: HttpBench, back: str) -> None:
    first, second = (sent_late(shop, back, position="P2", bag=shop.tags[0]) for _ in range(2))
    twice = {"refused": first["key"], "reason": "scanned twice"}
    assert shop.refused(back, "dismiss", "mate", **twice)["reason"] == "not-your-own"

    dismissed = shop.act(back, "dismiss", **twice)
    shop.act(back, "dismiss", "quality", refused=second["key"], reason="the device was lent out")

    assert kinds(shop, back, "refused-act") == []
    assert ended(shop, back) == ["dismissed", "dismissed"]
    assert shop.refused(back, "dismiss", **twice)["status"] == 404
    shop.act(back, "reverse", act=dismissed["key"], reason="it was not scanned twice")
    assert kinds(shop, back, "refused-act") == [("refused-act", "P2", 1)]
    take_all(shop, back, "refused-act")
    assert kinds(shop, back, "refused-act") == []


def test_what_was_refused_before_ones_eyes_is_no_finding(shop: HttpBench, back: str) -> None:
    shop.refused(back, "remove", position="P2", bag=shop.tags[0])

    assert kinds(shop, back, "refused-act") == []
    assert [one["queued"] for one in shop.look(f"/jobs/{back}/refused")["refused"]] == [False]


def test_an_amendment_of_nothing_known_is_recorded_with_a_word(shop: HttpBench, back: str) -> None:
    answer = shop.remove(back, "P1", shop.tags[0], amends=shop.ledger.new_key())

    assert any("No refused act of that key" in words for words in answer["warnings"])


def test_a_job_with_a_refused_act_waiting_is_not_released(shop: HttpBench, back: str) -> None:
    sent_late(shop, back, position="P2", bag=shop.tags[0])
    head = shop.look(f"/jobs/{back}")["head"]
    said = {"vehicle_searched": True, "bay_searched": True, "tools_complete": True}

    refused = shop.refused(back, "release", "quality", head=head, **said)

    assert refused["reason"] == "findings-open"


def test_the_lead_who_went_past_it_does_not_also_judge_it(shop: HttpBench, live: str) -> None:
    take_all(shop, live, "hold-passed-by")
    shop.act(live, "loosen", "lead", position="P2", **LATE)
    (stop,) = [one for one in findings(shop, live) if one["kind"] == "hold-passed-by"]
    asked = {"finding": "hold-passed-by", "reason": "I know what I do"}

    assert shop.refused(live, "accept", "lead", **asked)["reason"] == "same-person"

    take(shop, live, stop)
    assert shop.look(f"/jobs/{live}")["stopped"] is False


def test_a_queue_that_comes_after_the_release_is_told_and_dismissed(shop: HttpBench) -> None:
    job = shop.open_job(step("S1", 10, position("P1", {"part": "B"}, sets=2)))
    said = dict.fromkeys(
        ("vehicle_searched", "bay_searched", "panels_back", "tools_complete"), True
    )
    shop.act(job, "release", "quality", head=shop.look(f"/jobs/{job}")["head"], **said)
    late = sent_late(shop, job, position="P1", bag=shop.tags[0])
    assert kinds(shop, job, "refused-act") == [("refused-act", "P1", 1)]

    shop.act(job, "dismiss", refused=late["key"], reason="scanned at the wrong van")

    assert kinds(shop, job, "refused-act") == []
    assert shop.look(f"/jobs/{job}")["state"] == "released"
