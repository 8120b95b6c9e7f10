"""Parts are asked for, ordered and promised; some come, some not, and everybody can see which."""

from __future__ import annotations

import csv
from io import StringIO
from typing import Any

import pytest
from http_bench import V1, HttpBench, problem
from ledger_bench import position, step

LONG_AGO, FAR = "2020-01-31", "2099-12-31"


@pytest.fixture
def job(shop: HttpBench) -> str:
    """Four stretch bolts behind two clips; the bolts want threadlock."""
    return shop.open_job(
        step("trim", 10, position("CLIPS", {"part": "C"}, sets=2)),
        step(
            "pack",
            20,
            position("BOLTS", {"part": "A", "rule": "replace"}, sets=4),
            after=["trim"],
            applications=[{"what": "threadlock, medium", "amount": "1.5", "unit": "ml"}],
        ),
        step("fill", 30, phase="refit", refit_after=["pack"],
             applications=[{"what": "coolant", "amount": "9.5", "unit": "l"}]),
    )  # fmt: skip


def order(shop: HttpBench, job: str, part: str = "A") -> dict[str, Any]:
    """What the order says of a part."""
    (line,) = [one for one in shop.look(f"/jobs/{job}/order")["lines"] if one["part"] == part]
    return dict(line)


def asked(shop: HttpBench, job: str) -> dict[str, str]:
    """Everything is asked for in one go; answers the lines by what they are for."""
    made = shop.made(f"/jobs/{job}/order/ask", None, "desk")
    return {line["what"]: line["id"] for line in made["lines"]}


def noted(shop: HttpBench, line: str, event: str, **members: Any) -> dict[str, Any]:
    """The desk notes what became of a line; answers the line."""
    body = {"event": event, **members}
    return dict(shop.made(f"/order-lines/{line}/events", body, "desk")["line"])


def not_noted(shop: HttpBench, line: str, status: int, event: str, **members: Any) -> str:
    found = shop.post(f"/order-lines/{line}/events", {"event": event, **members}, "desk")
    assert found.status_code == status, found.text
    return str(problem(found)["detail"])


def on_shelf(shop: HttpBench, part: str) -> int:
    lines = shop.look("/stock")["stock"]
    return sum(one["quantity"] for one in lines if one["part"] == part)


def in_store(shop: HttpBench, kind: str, **members: Any) -> dict[str, Any]:
    """The desk records something in the store; answers the body."""
    return shop.made("/workshop/acts", shop.payload(kind, **members), "desk")


def taken_apart(shop: HttpBench, job: str) -> None:
    shop.remove(job, "CLIPS", shop.tags[0])
    shop.remove(job, "BOLTS", shop.tags[1])


# From asked to delivered ------------------------------------------------------


def test_all_that_is_to_be_ordered_is_asked_for_in_one_go(shop: HttpBench, job: str) -> None:
    before = order(shop, job)

    lines = asked(shop, job)

    after = order(shop, job)
    assert (before["to_order"], before["state"]) == (4, "to be ordered")
    assert (after["to_order"], after["on_order"]) == (0, 4)
    assert after["state"] == "asked for, not ordered yet"
    assert set(lines) >= {"A", "threadlock, medium", "coolant"}
    assert shop.made(f"/jobs/{job}/order/ask", None, "desk")["lines"] == []


def test_asking_twice_with_one_key_asks_once(shop: HttpBench, job: str) -> None:
    key = {"Idempotency-Key": '"order-of-monday"'}

    first = shop.post(f"/jobs/{job}/order/ask", None, "desk", headers=key)
    again = shop.post(f"/jobs/{job}/order/ask", None, "desk", headers=key)

    assert (first.status_code, again.json) == (201, first.json)
    assert again.headers["Idempotent-Replay"] == "true"


def test_a_line_is_followed_until_all_has_come(shop: HttpBench, job: str) -> None:
    line = asked(shop, job)["A"]

    ordered = noted(shop, line, "ordered", reference="4711", promised=FAR)
    some = noted(shop, line, "delivered", quantity=3, reference="note 1")
    rest = noted(shop, line, "back-ordered", promised="2099-12-30", words="one to follow")
    all_of_it = noted(shop, line, "delivered")

    assert ordered["words"] == f"ordered, promised for {FAR}"
    assert (some["state"], some["words"]) == (
        "part-delivered", f"part-delivered (3 of 4), promised for {FAR}",
    )  # fmt: skip
    assert rest["state"] == "back-ordered"
    assert (all_of_it["state"], all_of_it["outstanding"], all_of_it["marks"]) == (
        "delivered", 0, [],
    )  # fmt: skip
    assert on_shelf(shop, "A") == 4


def test_every_change_is_there_by_whom_and_when(shop: HttpBench, job: str) -> None:
    line = asked(shop, job)["A"]
    noted(shop, line, "ordered", reference="4711")
    noted(shop, line, "delivered", quantity=1)

    history = shop.look(f"/order-lines/{line}")["history"]

    assert [(one["n"], one["event"], one["by"]) for one in history] == [
        (1, "asked", "desk"), (2, "ordered", "desk"), (3, "delivered", "desk"),
    ]  # fmt: skip
    assert all(one["at"] for one in history)
    assert history[2]["act"] in shop.ledger.keys_of("workshop", "receive")


def test_who_looks_at_a_line_that_did_not_change_gets_it_only_once(
    shop: HttpBench, job: str
) -> None:
    line = asked(shop, job)["A"]
    first = shop.get(f"/order-lines/{line}")

    again = shop.get(f"/order-lines/{line}", headers={"If-None-Match": first.headers["ETag"]})
    noted(shop, line, "ordered")
    changed = shop.get(f"/order-lines/{line}", headers={"If-None-Match": first.headers["ETag"]})

    assert (again.status_code, changed.status_code) == (304, 200)


def test_two_at_the_desk_do_not_order_twice(shop: HttpBench, job: str) -> None:
    line = asked(shop, job)["A"]
    noted(shop, line, "ordered", seen=1)

    assert "Look again" in not_noted(shop, line, 412, "ordered", seen=1)


# What goes wrong ------------------------------------------------------


def test_a_refused_line_names_its_steps_and_is_wanted_again(shop: HttpBench, job: str) -> None:
    line = asked(shop, job)["A"]
    assert "what the supplier answered" in not_noted(shop, line, 422, "refused")

    refused = noted(shop, line, "refused", words="no longer made")

    assert refused["words"] == "refused by the supplier: no longer made"
    assert [one["number"] for one in refused["steps"]] == [20]
    assert order(shop, job)["to_order"] == 4
    assert noted(shop, line, "ordered", reference="elsewhere")["state"] == "ordered"


def test_a_wrong_part_goes_back_and_the_line_stays_open(shop: HttpBench, job: str) -> None:
    line = asked(shop, job)["A"]

    after = noted(shop, line, "wrong-part", came="a nut nobody knows", quantity=4)

    assert (after["state"], after["outstanding"]) == ("asked", 4)
    assert after["marks"] == ["wrong part came: 4 a nut nobody knows, goes back"]
    assert on_shelf(shop, "A") == 0


def test_a_wrong_part_is_taken_as_another_number(shop: HttpBench, job: str) -> None:
    line = asked(shop, job)["A"]
    assert "no part NUT" in not_noted(
        shop, line, 404, "wrong-part", came="NUT", quantity=4, accepted=True
    )

    after = noted(shop, line, "wrong-part", came="B", quantity=4, accepted=True)

    assert (after["state"], after["outstanding"]) == ("delivered", 0)
    assert after["marks"] == ["wrong part came: 4 B, taken as another number"]
    assert (on_shelf(shop, "A"), on_shelf(shop, "B")) == (0, 4)


def test_what_comes_after_all_is_marked_never_refused(shop: HttpBench, job: str) -> None:
    line = asked(shop, job)["A"]
    noted(shop, line, "cancelled", words="customer waits no longer")
    assert "cancelled already" in not_noted(shop, line, 409, "cancelled")

    after = noted(shop, line, "delivered", quantity=6)

    assert after["state"] == "delivered"
    assert after["marks"] == [
        "2 more came than were ordered", "it came although the line was cancelled",
    ]  # fmt: skip
    assert "has come already" in not_noted(shop, line, 409, "back-ordered")


def test_a_line_says_that_it_is_late(shop: HttpBench, job: str) -> None:
    line = asked(shop, job)["A"]

    assert noted(shop, line, "ordered", promised=LONG_AGO)["late"]
    assert not noted(shop, line, "ordered", promised=FAR)["late"]


@pytest.mark.parametrize(
    ("body", "status"),
    [
        ({}, 422),
        ({"part": "A"}, 422),
        ({"part": "A", "what": "grease", "quantity": 1}, 422),
        ({"part": "A", "quantity": 1, "unit": "kg"}, 422),
        ({"part": "none", "quantity": 1}, 404),
        ({"what": "grease", "quantity": 1}, 422),
        ({"what": "grease", "amount": "0"}, 422),
        ({"what": "grease", "amount": "-2"}, 422),
        ({"what": "grease", "amount": "2", "unit": "tube"}, 201),
    ],
)
def test_a_line_is_for_a_part_or_for_a_consumable(
    shop: HttpBench, job: str, body: dict[str, Any], status: int
) -> None:
    found = shop.post(f"/jobs/{job}/order-lines", body, "desk")

    assert found.status_code == status, found.text


def test_what_was_ordered_and_is_not_wanted_is_shown_apart(shop: HttpBench, job: str) -> None:
    body = {"part": "E", "quantity": 2, "reference": "4712", "promised": FAR}
    shop.made(f"/jobs/{job}/order-lines", body)

    also = shop.look(f"/jobs/{job}/order")["also_ordered"]

    assert [(one["what"], one["state"]) for one in also] == [("E", "ordered")]


def test_the_short_way_of_saying_what_is_on_order_keeps_working(shop: HttpBench, job: str) -> None:
    shop.put(f"/jobs/{job}/on-order/A", {"quantity": 3, "reference": "4711"}, "desk")
    shop.put(f"/jobs/{job}/on-order/A", {"quantity": 5, "promised": FAR}, "desk")
    five = order(shop, job)
    shop.put(f"/jobs/{job}/on-order/A", {"quantity": 0}, "desk")
    none = order(shop, job)

    assert [(one["quantity"], one["reference"], one["promised"]) for one in five["live"]] == [
        (5, "4711", FAR)
    ]
    assert (five["on_order"], none["on_order"]) == (5, 0)
    assert [one["state"] for one in none["live"]] == ["delivered"]
    assert on_shelf(shop, "A") == 0


# Received, wrongly received, counted ------------------------------------------------------


def test_a_receipt_names_its_order_line(shop: HttpBench, job: str) -> None:
    line = asked(shop, job)["A"]

    in_store(shop, "receive", part="A", quantity=3, order=line, reference="note 7")

    live = order(shop, job)["live"][0]
    assert (live["delivered"], live["outstanding"], live["reference"]) == (3, 1, "note 7")


def test_a_wrong_receipt_is_reversed_and_has_not_come(shop: HttpBench, job: str) -> None:
    line = asked(shop, job)["A"]
    key = in_store(shop, "receive", part="A", quantity=4, order=line)["key"]

    in_store(shop, "reverse", act=key, reason="counted the wrong box")

    live = order(shop, job)["live"][0]
    assert (live["state"], live["outstanding"], on_shelf(shop, "A")) == ("ordered", 4, 0)
    history = [one["event"] for one in shop.look(f"/order-lines/{line}")["history"]]
    assert history == ["asked", "delivered", "taken-back"]


def test_a_receipt_that_was_handed_out_is_not_undone_beneath_the_job(
    shop: HttpBench, job: str
) -> None:
    key = in_store(shop, "receive", part="A", quantity=4)["key"]
    issued = shop.issue(job, "A", 2, shop.tags[2])["key"]

    found = shop.post("/workshop/acts", shop.payload("reverse", act=key, reason="a slip"), "desk")

    assert problem(found)["reason"] == "moved-on"
    assert "job 1" in problem(found)["detail"]
    assert problem(found)["reverse_first"] == [issued]


def test_a_count_puts_the_shelf_right(shop: HttpBench, job: str) -> None:
    in_store(shop, "receive", part="A", quantity=4)

    more = in_store(shop, "stock-count", part="A", counted=7, reason="yearly count")
    after_more = on_shelf(shop, "A")
    fewer = in_store(shop, "stock-count", part="A", counted=2, reason="a box was damp")
    after_fewer = on_shelf(shop, "A")
    in_store(shop, "reverse", act=fewer["key"], reason="counted the wrong box")

    assert (after_more, after_fewer, on_shelf(shop, "A")) == (7, 2, 7)
    assert more["effects"] == [
        {"effect": "stock-counted", "part": "A", "counted": 7, "book": 4, "reason": "yearly count"}
    ]
    assert in_store(shop, "stock-count", part="A", counted=7, reason="again")["entries"] == []


def test_a_note_of_a_job_is_not_reversed_in_the_store(shop: HttpBench) -> None:
    job = shop.open_job(step("S1", 10, position("P1", {"part": "C"}, sets=1)))
    head = shop.look(f"/jobs/{job}")["head"]
    said = {"vehicle_searched": True, "bay_searched": True, "tools_complete": True}
    body = shop.payload("release", head=head, panels_back=True, **said)
    assert shop.post(f"/jobs/{job}/acts", body, "quality").status_code == 201
    (note,) = shop.ledger.keys_of("workshop", "note")

    found = shop.post("/workshop/acts", shop.payload("reverse", act=note, reason="no"), "desk")

    assert problem(found)["reason"] == "not-reversible"


# Batches and use-by days ------------------------------------------------------


def test_a_batch_goes_with_its_pieces_into_the_kit(shop: HttpBench, job: str) -> None:
    in_store(shop, "receive", part="A", quantity=4, batch="L-23", use_by=FAR)
    shop.issue(job, "A", 4, shop.tags[2])

    (content,) = shop.look(f"/tags/{shop.tags[2]}")["contents"]

    assert (content["batch"], content["use_by"]) == ("L-23", FAR)


def test_one_batch_per_kit_tag(shop: HttpBench, job: str) -> None:
    in_store(shop, "receive", part="A", quantity=2, batch="L-23")
    in_store(shop, "receive", part="A", quantity=2, batch="L-24")
    kit, other = shop.tags[2], shop.tags[3]
    shop.issue(job, "A", 2, kit)

    refused = shop.refused(job, "issue", "desk", part="A", quantity=2, bag=kit)
    shop.issue(job, "A", 2, other)
    together = shop.refused(job, "rebag", bag=other, into=kit)

    assert (refused["reason"], together["reason"]) == ("one-batch-per-kit", "one-batch-per-kit")
    assert refused["batches"] == ["L-23", "L-24"]


def test_two_batches_that_are_in_one_kit_anyway_are_a_finding_until_taken(
    shop: HttpBench, job: str
) -> None:
    shop.act(job, "issue", "desk", part="A", quantity=2, bag=shop.tags[2], source="bench",
             batch="L-23")  # fmt: skip
    shop.act(job, "issue", "desk", part="A", quantity=2, bag=shop.tags[2], source="bench",
             batch="L-24", already_done={"reason": "the bag was the only one"})  # fmt: skip
    before = kinds(shop, job)

    shop.act(job, "accept", "quality", finding="done-anyway", reason="same maker, same week")

    assert before.count("done-anyway") == 1
    assert "done-anyway" not in kinds(shop, job)


def kinds(shop: HttpBench, job: str) -> list[str]:
    found = shop.look(f"/jobs/{job}/reconciliation")
    return [one["kind"] for one in found["findings"]]


def test_past_its_day_is_kept_with_a_word_and_not_handed_out(shop: HttpBench, job: str) -> None:
    received = in_store(shop, "receive", part="A", quantity=2, use_by=LONG_AGO)

    refused = shop.refused(job, "issue", "desk", part="A", quantity=2, bag=shop.tags[2])

    assert "is past" in received["warnings"][0]
    assert (refused["reason"], refused["use_by"]) == ("past-use-by", LONG_AGO)


def test_what_goes_off_first_is_handed_out_first(shop: HttpBench, job: str) -> None:
    in_store(shop, "receive", part="A", quantity=4, batch="late", use_by=FAR)
    in_store(shop, "receive", part="A", quantity=4, batch="soon", use_by="2098-01-31")
    in_store(shop, "receive", part="A", quantity=4, batch="past", use_by=LONG_AGO)

    shop.issue(job, "A", 4, shop.tags[2])
    shop.act(job, "issue", "desk", part="A", quantity=4, bag=shop.tags[3], batch="late")

    bags = [shop.look(f"/tags/{tag}")["contents"][0]["batch"] for tag in shop.tags[2:4]]
    assert bags == ["soon", "late"]


def test_what_came_for_another_job_is_not_counted_on(shop: HttpBench, job: str) -> None:
    other = shop.open_job(step("S1", 10, position("P1", {"part": "A", "rule": "replace"}, sets=4)))
    in_store(shop, "receive", part="A", quantity=4, job=other)

    warned = shop.issue(job, "A", 1, shop.tags[2])["warnings"]

    assert (order(shop, job)["in_stock"], order(shop, other)["in_stock"]) == (0, 3)
    assert "came for another job" in warned[0]


def test_a_receipt_for_a_job_that_is_not_there_is_not_taken(shop: HttpBench, job: str) -> None:
    body = shop.payload("receive", part="A", quantity=1, job="jnowhere")

    assert shop.post("/workshop/acts", body, "desk").status_code == 404


# Back to the store, and told to the desk ------------------------------------------------------


def test_all_that_was_not_used_goes_back_in_one_go(shop: HttpBench, job: str) -> None:
    taken_apart(shop, job)
    in_store(shop, "receive", part="A", quantity=6)
    in_store(shop, "receive", part="C", quantity=3)
    shop.issue(job, "A", 6, shop.tags[2])
    shop.issue(job, "C", 3, shop.tags[3])
    shop.secure(job, "BOLTS", bag=shop.tags[2])

    gave = shop.act(job, "return")

    assert sum(one["quantity"] for one in gave["entries"]) == 5
    assert (on_shelf(shop, "A"), on_shelf(shop, "C")) == (2, 3)
    assert shop.refused(job, "return")["reason"] == "not-new"
    assert any("not back yet" in words for words in gave["warnings"])


def test_a_bag_gives_back_all_its_new_pieces_and_keeps_the_old(shop: HttpBench, job: str) -> None:
    shop.remove(job, "CLIPS", shop.tags[0])
    shop.issue(job, "C", 3, shop.tags[0])

    gave = shop.act(job, "return", bag=shop.tags[0])

    assert [(one["part"], one["quantity"]) for one in gave["entries"]] == [("C", 3)]
    assert shop.look(f"/tags/{shop.tags[0]}")["contents"][0]["quantity"] == 2
    assert shop.refused(job, "return", bag=shop.tags[0], quantity=1)["code"] == "invalid"


def test_the_desk_is_told_what_was_taken_past_it(shop: HttpBench, job: str) -> None:
    in_store(shop, "receive", part="A", quantity=1)
    shop.act(job, "issue", part="A", quantity=4, bag=shop.tags[2])
    shop.act(job, "issue", part="C", quantity=1, bag=shop.tags[3], source="bench")
    shop.act(job, "issue", "desk", part="B", quantity=1, bag=shop.tags[4], source="bought")
    key = shop.act(job, "return", bag=shop.tags[3])["key"]
    shop.act(job, "reverse", act=key, reason="it is wanted after all")

    told = shop.look("/parts-desk/notices", "desk")["notices"]

    assert [(one["kind"], one["part"], one["quantity"], one["by"]) for one in told] == [
        ("unbooked-receipt", "A", 3, "tech"),
        ("taken", "A", 1, "tech"),
        ("bench", "C", 1, "tech"),
        ("bought", "B", 1, "desk"),
        ("return", "C", 1, "tech"),
    ]
    assert [one["undone"] for one in told] == [False, False, False, False, True]


def test_the_desk_is_told_that_this_vehicle_takes_another_part(shop: HttpBench, job: str) -> None:
    shop.act(job, "differs", position="CLIPS", part="C", becomes="B", reason="older trim")

    (told,) = shop.look("/parts-desk/notices", "desk")["notices"]

    assert (told["kind"], told["part"]) == ("differs", "B")
    assert "older trim" in told["words"]


def test_notices_are_ticked_off_once_and_looked_at_from_where_one_was(
    shop: HttpBench, job: str
) -> None:
    for _ in range(3):
        shop.act(job, "issue", part="C", quantity=1, bag=shop.tags[2], source="bench")

    ticked = shop.post(
        "/parts-desk/notices/tick", {"notices": [1, 2], "words": "taken off our books"}, "desk"
    )
    again = shop.post("/parts-desk/notices/tick", {"notices": [2]}, "lead")

    assert [one["ticked_by"] for one in ticked.json["notices"]] == ["desk", "desk"]
    assert again.json["notices"][0]["ticked_by"] == "desk"
    assert [one["n"] for one in shop.look("/parts-desk/notices")["notices"]] == [3]
    all_since = shop.look("/parts-desk/notices?after=1&open=false")["notices"]
    assert [one["n"] for one in all_since] == [2, 3]
    assert shop.post("/parts-desk/notices/tick", {"notices": [9]}, "desk").status_code == 404
    assert shop.post("/parts-desk/notices/tick", {"notices": [3]}, "tech").status_code == 403


# Across all jobs ------------------------------------------------------


def needed_by(shop: HttpBench, job: str, day: str) -> None:
    etag = shop.get(f"/jobs/{job}").headers["ETag"]
    found = shop.send(
        "PATCH", f"/jobs/{job}", "lead", json={"needed_by": day}, headers={"If-Match": etag}
    )
    assert found.status_code == 200, found.text


def test_the_van_that_is_needed_first_has_first_claim_on_the_shelf(
    shop: HttpBench, job: str
) -> None:
    sooner = shop.open_job(step("S1", 10, position("P1", {"part": "A", "rule": "replace"}, sets=3)))
    needed_by(shop, job, "2031-05-31")
    needed_by(shop, sooner, "2031-05-01")
    in_store(shop, "receive", part="A", quantity=4)

    lines = shop.look("/parts-desk/order", "desk")["lines"]

    (bolts,) = [one for one in lines if one["part"] == "A"]
    assert (bolts["to_order"], bolts["by"]) == (3, "2031-05-31")
    assert [(one["job"], one["from_stock"], one["lacking"]) for one in bolts["jobs"]] == [
        (job, 1, 3)
    ]


def test_the_order_of_all_jobs_says_how_far_each_line_is(shop: HttpBench, job: str) -> None:
    line = asked(shop, job)["A"]
    noted(shop, line, "ordered", promised=LONG_AGO)

    found = shop.look("/parts-desk/order", "desk")

    (bolts,) = [one for one in found["lines"] if one["part"] == "A"]
    assert (bolts["to_order"], bolts["on_order"], bolts["late"]) == (0, 4, True)
    assert [one["promised"] for one in bolts["jobs"][0]["live"]] == [LONG_AGO]
    coolant = [one for one in found["consumables"] if one["what"] == "coolant"]
    assert [(one["to_order"], one["jobs"][0]["live"][0]["amount"]) for one in coolant] == [
        ("", "9.5")
    ]


def steps(shop: HttpBench, job: str, which: str) -> dict[tuple[str, str], dict[str, Any]]:
    found = shop.look(f"/jobs/{job}/waiting")[which]
    return {(one["way"], one["id"]): one for one in found}


def test_who_can_start_and_who_waits_for_whom_while_stripping(shop: HttpBench, job: str) -> None:
    assert list(steps(shop, job, "can_start")) == [("strip", "trim")]
    waiting = steps(shop, job, "waiting")["strip", "pack"]
    assert [(one["kind"], one["step"]) for one in waiting["waits"]] == [("step", "trim")]


def test_a_step_waits_for_its_part_and_the_next_one_waits_with_it(
    shop: HttpBench, job: str
) -> None:
    taken_apart(shop, job)
    noted(shop, asked(shop, job)["A"], "ordered", promised=FAR)

    waiting = steps(shop, job, "waiting")

    (wait,) = waiting["refit", "pack"]["waits"]
    assert (wait["kind"], wait["part"], wait["lacking"], wait["promised"]) == ("part", "A", 4, FAR)

    in_store(shop, "receive", part="A", quantity=4)
    shop.issue(job, "A", 4, shop.tags[2])

    assert ("refit", "pack") in steps(shop, job, "can_start")
    trim = steps(shop, job, "waiting")["refit", "trim"]
    assert [(one["kind"], one["step"]) for one in trim["waits"]] == [("step", "pack")]
    assert shop.refused(job, "fit", position="CLIPS", bag=shop.tags[0])["reason"] == "step-first"


def test_a_hold_is_waited_for_in_the_end(shop: HttpBench) -> None:
    hold = {"id": "h-dead", "title": "proved dead"}
    job = shop.open_job(
        step("dead", 10, position("PLUG", {"part": "C"}, sets=1), holds=[hold]),
        step("cover", 20, position("COVER", {"part": "B"}, sets=2), after=["dead"]),
    )

    waiting = steps(shop, job, "waiting")

    assert [one["hold"] for one in waiting["strip", "dead"]["waits"]] == ["h-dead"]
    assert {one["hold"] for one in waiting["strip", "cover"]["in_the_end"]} == {"h-dead"}
    shop.act(job, "hold", hold="h-dead")
    assert list(steps(shop, job, "can_start")) == [("strip", "dead")]


# Sealant, threadlock, coolant ------------------------------------------------------


@pytest.fixture
def back(shop: HttpBench, job: str) -> str:
    """All is back, and nobody said anything of the threadlock."""
    taken_apart(shop, job)
    shop.act(job, "discard", bag=shop.tags[1])
    shop.issue(job, "A", 4, shop.tags[2])
    shop.secure(job, "BOLTS", bag=shop.tags[2])
    shop.secure(job, "CLIPS", bag=shop.tags[0])
    return job


def test_threadlock_that_nobody_ticked_is_found_and_ticked(shop: HttpBench, back: str) -> None:
    before = kinds(shop, back)

    shop.act(back, "apply", step="pack", batch="T-9")

    assert before.count("not-applied") == 1
    assert "not-applied" not in kinds(shop, back)
    (pack,) = [one for one in shop.look(f"/jobs/{back}/refit")["steps"] if one["id"] == "pack"]
    assert [one["applied"] for one in pack["applications"]] == [True]


def test_threadlock_left_out_is_taken_by_quality(shop: HttpBench, back: str) -> None:
    shop.act(back, "accept", "quality", finding="not-applied", reason="bolts come coated")

    assert "not-applied" not in kinds(shop, back)


def test_a_tick_made_by_mistake_is_reversed(shop: HttpBench, back: str) -> None:
    key = shop.act(back, "apply", step="pack")["key"]
    shop.act(back, "reverse", act=key, reason="wrong step")

    assert "not-applied" in kinds(shop, back)


def test_it_is_ticked_in_the_tap_that_finishes_the_step(shop: HttpBench, job: str) -> None:
    taken_apart(shop, job)
    shop.issue(job, "A", 4, shop.tags[2])
    shop.secure(job, "BOLTS", bag=shop.tags[2], applied=True)
    shop.act(job, "done", step="fill", applied=True)

    assert "not-applied" not in kinds(shop, job)


def test_taken_apart_again_it_is_applied_again(shop: HttpBench, back: str) -> None:
    shop.act(back, "apply", step="pack")
    shop.act(back, "loosen", position="BOLTS", sets=1, already_done={"reason": "wrong torque"})
    shop.secure(back, "BOLTS", already_done={"reason": "tightened again"})

    assert "not-applied" in kinds(shop, back)


def test_what_a_step_does_not_ask_for_is_not_ticked_there(shop: HttpBench, back: str) -> None:
    assert "threadlock" in shop.refused(back, "apply", step="pack", what="glue")["detail"]
    assert shop.refused(back, "apply", step="trim")["code"] == "not-found"


def test_consumables_are_ordered_but_never_in_the_book(shop: HttpBench, job: str) -> None:
    line = asked(shop, job)["coolant"]
    assert "send `amount`" in not_noted(shop, line, 422, "delivered", quantity=1)

    some = noted(shop, line, "delivered", amount="4.5")
    rest = noted(shop, line, "delivered")

    assert some["words"] == "part-delivered (4.5 of 9.5)"
    assert (rest["state"], rest["amount_delivered"], rest["unit"]) == ("delivered", "9.5", "l")
    assert shop.ledger.keys_of("workshop", "receive") == []
    coolant = shop.look(f"/jobs/{job}/order")["consumables"][1]
    assert (coolant["what"], coolant["to_order"]) == ("coolant", "")


# Tables ------------------------------------------------------


def table(found: Any) -> list[dict[str, str]]:
    """A table as a spreadsheet reads it."""
    assert found.status_code == 200, found.text
    assert found.data.startswith(b"\xef\xbb\xbf")
    return list(csv.DictReader(StringIO(found.data.decode("utf-8-sig"), newline="")))


def test_order_and_lines_open_in_a_spreadsheet(shop: HttpBench, job: str) -> None:
    line = asked(shop, job)["A"]
    noted(shop, line, "ordered", reference='=HYPERLINK("x")', promised=FAR)
    noted(shop, line, "back-ordered", promised=FAR, words='+1 week, "if at all"; ask é')

    wants = {"Accept": "text/csv"}
    by_name = table(shop.get(f"/jobs/{job}/order.csv"))
    by_accept = table(shop.get(f"/jobs/{job}/order", headers=wants))
    lines = table(shop.get(f"/jobs/{job}/order-lines", headers=wants))

    assert by_name == by_accept
    (bolts,) = [row for row in by_name if row["part"] == "A"]
    assert (bolts["on_order"], bolts["reference"]) == ("4", '\'=HYPERLINK("x")')
    (ordered,) = [row for row in lines if row["part"] == "A"]
    assert (ordered["state"], ordered["ordered"], ordered["for_steps"]) == (
        "back-ordered",
        "4",
        "20",
    )
    assert '"if at all"; ask é' in ordered["words"]
    assert shop.get(f"/jobs/{job}/order").content_type == "application/json"


def test_the_paper_says_how_far_the_order_is(shop: HttpBench, job: str) -> None:
    asked(shop, job)

    paper = shop.get(f"/jobs/{job}/order.pdf")

    assert (paper.status_code, paper.data[:5]) == (200, b"%PDF-")
    assert V1 == "/api/v1"
