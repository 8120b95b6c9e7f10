"""Dead in the morning, and in the evening? Holds that lapse, that wait, that look beneath."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import pytest
from http_bench import HttpBench, Json, tokens_of
from ledger_bench import position, step

HV_HOLD: Json = {
    "id": "DEAD",
    "title": "Proved dead",
    "high_voltage": True,
    "witness": True,
    "when": "both",
    "readings": [{"name": "plus to minus", "unit": "V", "limit": "60"}],
    "equipment": ["instrument", "gloves"],
    "wait_minutes": 10,
    "wait_after": "PLUG",
    "per_person": True,
    "until_shift_end": True,
    "valid_hours": 12,
}


def at(clock: str, day: int = 14) -> str:
    return f"2030-05-{day}T{clock}:00Z"


@pytest.fixture
def job(shop: HttpBench) -> str:
    """Plug out, ten minutes, proved dead, then the pack: the same both ways. Shifts are set."""
    said = shop.get("/shifts")
    shop.put("/shifts", {"ends": ["22:00", "14:00"]}, headers={"If-Match": said.headers["ETag"]})
    for number, kind in (("M-07", "instrument"), ("G-2", "gloves")):
        given = {"number": number, "kind": kind, "good_until": "2030-12-31"}
        shop.made("/equipment", given, "lead")
    return shop.open_job(
        step("LIFT", 10, phase="strip", holds=[{"id": "UP", "title": "Lifting points checked"}]),
        step("PLUG", 20, position("SP", {"part": "B"}, sets=1), after=["LIFT"], lapses=["DEAD"]),
        step("PROVE", 30, phase="strip", after=["PLUG"], holds=[HV_HOLD]),
        step(
            "PACK",
            40,
            position("P1", {"part": "C"}, sets=4),
            position("P2", {"part": "W"}, sets=2),
            after=["PROVE"],
        ),
        step("AGAIN", 50, phase="strip", lapses=["UP"]),
    )


@pytest.fixture(autouse=True)
def clock(shop: HttpBench) -> list[str]:
    """The workshop's clock; the last time in the list is the time now."""
    times = [at("08:00")]
    shop.ledger.service.now = lambda: datetime.fromisoformat(times[-1])
    shop.tokens = tokens_of(shop.ledger)
    return times


PASSED: Json = {
    "hold": "DEAD",
    "values": [{"name": "plus to minus", "value": "0.2", "unit": "V"}],
    "instrument": "M-07",
    "proved_before": True,
    "proved_after": True,
    "gloves": "G-2",
}


def made_safe(shop: HttpBench, job: str, plug_out: str = "08:00", dead: str = "08:10") -> Json:
    """Lifted, plug into bag 0, waited, proved dead by tech with mate as witness."""
    shop.act(job, "hold", hold="UP", done_at=at("07:50"))
    shop.remove(job, "SP", shop.tags[0], done_at=at(plug_out))
    return prove_dead(shop, job, dead)


def prove_dead(shop: HttpBench, job: str, clock: str, who: str = "tech", **more: Any) -> Json:
    witness = "mate" if who == "tech" else "tech"
    return shop.act(job, "hold", who, done_at=at(clock), **(PASSED | {"witness": witness} | more))


def off(shop: HttpBench, job: str, clock: str, position: str = "P1", **more: Any) -> Json:
    return shop.remove(job, position, shop.tags[1], done_at=at(clock), **more)


def off_refused(shop: HttpBench, job: str, when: str, who: str = "tech") -> Json:
    asked = {"position": "P2", "bag": shop.tags[1], "done_at": when}
    return shop.refused(job, "remove", who, **asked)


def hold_line(shop: HttpBench, job: str, hold: str) -> Json:
    lines = [one for step in shop.look(f"/jobs/{job}/steps")["steps"] for one in step["holds"]]
    (found,) = [one for one in lines if one["id"] == hold]
    return dict(found)


def findings(shop: HttpBench, job: str, kind: str) -> list[Json]:
    found = shop.look(f"/jobs/{job}/reconciliation")["findings"]
    return [one for one in found if one["kind"] == kind]


# Time -------------------------------------------------------------------------------------------


def test_capacitors_are_given_their_time(shop: HttpBench, job: str, clock: list[str]) -> None:
    shop.act(job, "hold", hold="UP", done_at=at("07:50"))
    asked = {**PASSED, "witness": "mate"}
    first = shop.refused(job, "hold", **asked, done_at=at("07:55"))
    assert first["reason"] == "too-early"
    assert "step 20 (step PLUG), and that step is not recorded yet" in first["detail"]
    assert hold_line(shop, job, "DEAD")["waits"] == "10 minutes after step 20"

    shop.remove(job, "SP", shop.tags[0], done_at=at("08:00"))
    clock.append(at("08:04"))

    early = shop.refused(job, "hold", **asked, done_at=at("08:04"))
    assert early["reason"] == "too-early"
    assert "6 of the 10 minutes" in early["detail"]
    assert "until 08:10 on 2030-05-14" in early["detail"]
    assert early["minutes_left"] == 6
    line = hold_line(shop, job, "DEAD")
    assert line["waits"] == "6 minutes left, until 08:10 on 2030-05-14"
    assert line["wait_over_at"] == "2030-05-14T08:10:00.000Z"

    prove_dead(shop, job, "08:10")
    off(shop, job, "08:20")


def test_the_next_shift_proves_dead_again(shop: HttpBench, job: str, clock: list[str]) -> None:
    made_safe(shop, job)
    off(shop, job, "08:20")
    assert hold_line(shop, job, "DEAD")["good_until"] == "2030-05-14T14:00:00.000Z"

    refused = off_refused(shop, job, at("14:05"))

    assert refused["reason"] == "hold-open"
    assert "asks for this again: Proved dead (step 30)" in refused["detail"]
    assert "It stands no longer: the shift ended (14:00 on 2030-05-14)" in refused["detail"]
    clock.append(at("14:05"))
    line = hold_line(shop, job, "DEAD")
    assert (line["passed"], line["stands"]) == (True, False)
    assert line["lapsed"] == "the shift ended (14:00 on 2030-05-14)"
    prove_dead(shop, job, "14:10")
    off(shop, job, "14:20", "P2")
    # It was passed for all that was done under it: nothing is left to judge.
    assert findings(shop, job, "hold-open") == []


def test_where_no_shift_ends_it_is_good_for_its_hours(shop: HttpBench, job: str) -> None:
    said = shop.get("/shifts")
    shop.put("/shifts", {"ends": []}, headers={"If-Match": said.headers["ETag"]})
    passed = made_safe(shop, job)

    assert "nobody has said when shifts end here" in " ".join(passed["warnings"])
    assert hold_line(shop, job, "DEAD")["good_until"] == "2030-05-14T20:10:00.000Z"
    assert "its 12 hours were over" in off_refused(shop, job, at("20:10"))["detail"]
    off(shop, job, "20:09")


def test_whoever_goes_on_working_proves_it_for_themselves(shop: HttpBench, job: str) -> None:
    made_safe(shop, job)

    refused = off_refused(shop, job, at("08:30"), "mate")

    assert "somebody else passed it" in refused["detail"]
    prove_dead(shop, job, "08:35", "mate")
    line = hold_line(shop, job, "DEAD")
    assert (line["per_person"], line["passed_for"]) == (True, ["mate", "tech"])
    off(shop, job, "08:40")


# What ends it -----------------------------------------------------------------------------------


def test_the_plug_back_in_for_a_moment_ends_it(shop: HttpBench, job: str) -> None:
    made_safe(shop, job)

    back = shop.secure(job, "SP", bag=shop.tags[0], done_at=at("09:00"))

    assert back["warnings"] == [
        "Stands no longer: Proved dead (step 30). Pass it again before going on behind it."
    ]
    shop.remove(job, "SP", shop.tags[0], done_at=at("09:10"))
    refused = off_refused(shop, job, at("09:12"))
    assert "step 20 (step PLUG) was worked (09:00 on 2030-05-14)" in refused["detail"]
    # And the ten minutes begin again.
    asked = {**PASSED, "witness": "mate"}
    assert shop.refused(job, "hold", **asked, done_at=at("09:12"))["minutes_left"] == 8
    prove_dead(shop, job, "09:20")
    off(shop, job, "09:21", "P2")


def test_lifted_again_and_diagnosis_are_said_by_hand(shop: HttpBench, job: str) -> None:
    made_safe(shop, job)

    shop.act(job, "lapse", hold="DEAD", reason="diagnosis-with-voltage", done_at=at("10:00"))

    refused = off_refused(shop, job, at("10:30"))
    assert "voltage was on for diagnosis (10:00 on 2030-05-14)" in refused["detail"]
    twice = shop.refused(job, "lapse", hold="DEAD", reason="other", words="not sure")
    assert "stands in the way as it is" in twice["detail"]
    assert shop.refused(job, "lapse", hold="UP", reason="other")["status"] == 422
    shop.act(job, "done", step="AGAIN", done_at=at("10:40"))
    assert "was worked" in hold_line(shop, job, "UP")["lapsed"]


def test_a_lapse_is_not_undone_but_passed_again(shop: HttpBench, job: str) -> None:
    made_safe(shop, job)
    lapsed = shop.act(job, "lapse", hold="DEAD", reason="end-of-shift", done_at=at("10:00"))

    refused = shop.refused(job, "reverse", act=lapsed["key"], reason="wrong hold")

    assert refused["detail"] == "A hold that was said to stand no longer is passed again."


def test_the_way_back_asks_for_it_too(shop: HttpBench, job: str, clock: list[str]) -> None:
    made_safe(shop, job)
    off(shop, job, "08:20")
    clock.append(at("15:00"))

    refused = shop.refused(job, "secure", position="P1", bag=shop.tags[1], done_at=at("15:00"))

    assert refused["reason"] == "hold-open"
    (over,) = shop.look(f"/jobs/{job}/refit")["over_all"]
    assert (over["id"], over["stands"]) == ("DEAD", False)
    prove_dead(shop, job, "15:05")
    shop.secure(job, "P1", bag=shop.tags[1], done_at=at("15:10"))


def test_work_after_it_lapsed_is_recorded_and_stops_the_job(shop: HttpBench, job: str) -> None:
    made_safe(shop, job)

    off(shop, job, "14:30", already_done={"reason": "forgot that the shift was over"})

    assert [one["place"] for one in findings(shop, job, "hold-passed-by")] == ["P1"]
    assert findings(shop, job, "hold-open") == []


# Equipment --------------------------------------------------------------------------------------


def test_a_meter_past_its_date_proves_nothing(shop: HttpBench, job: str) -> None:
    given = {"number": "M-03", "kind": "instrument", "good_until": "2030-05-13"}
    shop.made("/equipment", given, "lead")
    shop.act(job, "hold", hold="UP", done_at=at("07:50"))
    shop.remove(job, "SP", shop.tags[0], done_at=at("08:00"))
    old = {**PASSED, "instrument": "M-03", "witness": "mate", "done_at": at("08:10")}

    refused = shop.refused(job, "hold", **old)

    assert refused["reason"] == "out-of-date"
    assert "Instrument M-03 was to be checked by 2030-05-13" in refused["detail"]
    found = shop.get("/equipment/M-03", "lead")
    shop.put(
        "/equipment/M-03", {**given, "good_until": "2031-05-13"},
        headers={"If-Match": found.headers["ETag"]},
    )  # fmt: skip
    shop.act(job, "hold", **old)


def test_gloves_nobody_knows_are_a_word_and_none_at_all_a_stop(shop: HttpBench, job: str) -> None:
    shop.act(job, "hold", hold="UP", done_at=at("07:50"))
    shop.remove(job, "SP", shop.tags[0], done_at=at("08:00"))
    bare = {name: value for name, value in PASSED.items() if name != "gloves"}

    refused = shop.refused(job, "hold", **bare, witness="mate", done_at=at("08:10"))
    assert refused["detail"] == "It asks for the number of the gloves."

    unknown = prove_dead(shop, job, "08:10", gloves="borrowed")
    assert "Gloves borrowed is not in the list of equipment" in " ".join(unknown["warnings"])


def test_only_the_lead_keeps_equipment_and_shifts(shop: HttpBench, job: str) -> None:
    given = {"number": "L-1", "kind": "lift", "good_until": "2030-05-14"}

    assert shop.post("/equipment", given, "tech").status_code == 403
    assert shop.post("/equipment", {**given, "good_until": "2030-02-31"}, "lead").status_code == 422
    assert shop.put("/shifts", {"ends": ["25:00"]}, headers={"If-Match": "*"}).status_code == 422
    assert shop.put("/shifts", {"ends": []}, headers={"If-Match": '"old"'}).status_code == 412
    assert shop.look("/shifts") == {"ends": ["14:00", "22:00"], "zone": "UTC"}
    listed = shop.look("/equipment")["equipment"]
    assert [one["number"] for one in listed] == ["G-2", "M-07"]


def test_the_usual_cautions_go_with_it_and_defer_to_the_maker(shop: HttpBench, job: str) -> None:
    cautions = " ".join(hold_line(shop, job, "DEAD")["cautions"])

    assert "High voltage can kill. Only people qualified for it work here." in cautions
    assert "Follow the vehicle maker's instructions" in cautions
    assert hold_line(shop, job, "UP")["cautions"] == []


# Taken back -------------------------------------------------------------------------------------


def test_a_hold_taken_back_names_what_was_done_under_it(shop: HttpBench, job: str) -> None:
    dead = made_safe(shop, job)
    first = off(shop, job, "08:20")
    second = off(shop, job, "08:25", "P2")

    undone = shop.act(job, "reverse", "mate", act=dead["key"], reason="the meter was faulty")

    named = (
        f"act {first['seq']}, remove at step 40, by tech; "
        f"act {second['seq']}, remove at step 40, by tech"
    )
    assert undone["warnings"] == [
        f"Open again: Proved dead. Done under it, and to be looked at again: {named}."
    ]
    (finding,) = findings(shop, job, "hold-open")
    assert f"Done under it before it was taken back: {named}." in finding["words"]

    prove_dead(shop, job, "09:00")
    (finding,) = findings(shop, job, "hold-open")
    assert (finding["quantity"], finding["place"]) == (2, "DEAD")
    assert named in finding["words"]
    shop.act(
        job, "accept", "quality", finding="hold-open", place="DEAD", lot=finding["lot"],
        reason="dead by the second meter, nothing was touched",
    )  # fmt: skip
    assert findings(shop, job, "hold-open") == []


def test_what_another_passing_stood_for_needs_no_judging(shop: HttpBench, job: str) -> None:
    made_safe(shop, job)
    again = prove_dead(shop, job, "08:15")
    off(shop, job, "08:20")

    shop.act(job, "reverse", act=again["key"], reason="recorded twice")

    assert findings(shop, job, "hold-open") == []


# What lies beneath ------------------------------------------------------------------------------


@pytest.fixture
def under(shop: HttpBench) -> str:
    """Brace, hose with its cap, and the shield that covers them; the road test after all."""
    close: Json = {"id": "CLOSE", "title": "All above the shield back", "when": "refit"}
    return shop.open_job(
        step("SHIELD", 10, position("S1", {"part": "C"}, sets=6), refit_after=["LOOK"]),
        step(
            "BRACE",
            20,
            position("B1", {"part": "B"}, sets=2, critical=True),
            after=["SHIELD"],
        ),
        step(
            "HOSE",
            30,
            position("H1", {"part": "W"}, sets=1),
            after=["SHIELD"],
            temporaries=[{"id": "cap", "words": "hose cap", "off_before": "LOOK"}],
        ),
        step(
            "LOOK",
            40,
            phase="refit",
            refit_after=["BRACE", "HOSE"],
            holds=[{**close, "close_up": True, "witness": True}],
        ),
    )


def test_a_close_up_is_not_passed_over_what_is_open_beneath(shop: HttpBench, under: str) -> None:
    k, m, n = shop.tags[:3]
    shop.remove(under, "S1", k)
    shop.remove(under, "B1", m)
    shop.remove(under, "H1", n)
    shop.act(under, "put-on", step="HOSE", item="cap")
    shop.secure(under, "B1", bag=m, quantity=1)
    shop.fit(under, "H1", n)
    shop.act(under, "remark", position="H1", words="hose chafed")

    refused = shop.refused(under, "hold", hold="CLOSE", witness="mate")

    assert refused["reason"] == "not-closed-beneath"
    assert refused["open"] == 6
    for words in (
        "1 long bolt (B) not back yet",
        "1 washer (W) in place but not secured",
        "1 hose cap still on the vehicle",
        "critical, and nobody else has looked at it",
        "hose chafed",
        "And 1 more.",
    ):
        assert words in refused["detail"]
    # The shield's own clips are still off, as they should be.
    assert "S1" not in refused["detail"]


def test_it_is_passed_when_all_beneath_is_in_order_and_seen(shop: HttpBench, under: str) -> None:
    k, m, n = shop.tags[:3]
    shop.remove(under, "S1", k)
    shop.remove(under, "B1", m)
    shop.remove(under, "H1", n)
    shop.act(under, "put-on", step="HOSE", item="cap")
    shop.act(under, "take-off", step="HOSE", item="cap")
    shop.secure(under, "B1", bag=m)
    shop.secure(under, "H1", bag=n)
    asked = {"hold": "CLOSE", "witness": "mate"}

    assert "nobody looked into it since" in shop.refused(under, "hold", **asked)["detail"]
    shop.act(under, "seen-empty", bags=[m, n])
    assert shop.refused(under, "hold", **asked)["open"] == 1
    shop.act(under, "confirm", "mate", position="B1")
    shop.act(under, "hold", **asked)
    shop.secure(under, "S1", bag=k)


def test_closed_in_spite_of_it_is_recorded_and_found(shop: HttpBench, under: str) -> None:
    shop.remove(under, "S1", shop.tags[0])
    shop.remove(under, "H1", shop.tags[1])

    shop.act(
        under, "hold", hold="CLOSE", witness="mate",
        already_done={"reason": "the shield was on before anybody looked"},
    )  # fmt: skip

    (anyway,) = findings(shop, under, "done-anyway")
    assert "Open beneath: Step 30, at H1: 1 washer (W) not back yet" in anyway["words"]


def test_isolation_below_what_the_maker_states_is_no_pass(shop: HttpBench) -> None:
    wanted: Json = {"name": "plus to chassis", "unit": "kOhm", "at_least": "500"}
    hold: Json = {"id": "ISO", "title": "Isolation good", "readings": [wanted]}
    job = shop.open_job(step("S", 10, position("P", {"part": "C"}, sets=1), holds=[hold]))

    def read(value: str) -> list[Json]:
        return [{"name": "plus to chassis", "value": value, "unit": "kOhm"}]

    refused = shop.refused(job, "hold", hold="ISO", values=read("480"))
    assert refused["reason"] == "under-limit"
    assert "reads 480 kOhm, at least 500 kOhm is wanted" in refused["detail"]
    forced = {"already_done": {"reason": "it was late"}}
    again = shop.refused(job, "hold", hold="ISO", values=read("480"), **forced)
    assert again["reason"] == "under-limit"
    shop.act(job, "hold", hold="ISO", values=read("500"))
