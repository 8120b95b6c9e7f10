"""This vehicle is not as its procedure says: not there, other, as found, left out, damaged."""

from __future__ import annotations

from http_bench import HttpBench, Json
from ledger_bench import position, step


def open_kinds(shop: HttpBench, job: str) -> list[tuple[str, str]]:
    """What is open, as kind and place; without what is only not seen yet."""
    found = shop.look(f"/jobs/{job}/reconciliation")["findings"]
    return [(one["kind"], one["place"]) for one in found]


def the_finding(shop: HttpBench, job: str, kind: str) -> Json:
    found = shop.look(f"/jobs/{job}/reconciliation")["findings"]
    (one,) = [finding for finding in found if finding["kind"] == kind]
    return dict(one)


def step_of(shop: HttpBench, job: str, name: str, path: str = "steps") -> Json:
    (found,) = [one for one in shop.look(f"/jobs/{job}/{path}")["steps"] if one["id"] == name]
    return dict(found)


def ordered(shop: HttpBench, job: str) -> dict[str, Json]:
    return {line["part"]: line for line in shop.look(f"/jobs/{job}/order")["lines"]}


def three_layers(shop: HttpBench) -> str:
    """Cover before bracket before box; the bracket is only on vans with a tow bar."""
    return shop.open_job(
        step("cover", 10, position("P1", {"part": "C"}, sets=2)),
        step(
            "bracket",
            20,
            position("P2", {"part": "A", "rule": "replace"}, sets=4),
            after=["cover"],
            holds=[{"id": "H1", "title": "bracket supported"}],
        ),
        step("box", 30, position("P3", {"part": "B"}, sets=3), after=["bracket"]),
    )


def test_a_step_that_is_not_on_this_vehicle_takes_its_hold_and_its_order_with_it(
    shop: HttpBench,
) -> None:
    job = three_layers(shop)
    assert "A" in ordered(shop, job)

    shop.act(job, "does-not-apply", "lead", step="bracket", reason="no tow bar on this van")

    listed = shop.look(f"/jobs/{job}/steps")
    assert [one["id"] for one in listed["steps"]] == ["cover", "box"]
    (gone,) = listed["not_on_this_vehicle"]
    assert (gone["where"], gone["words"]) == ("step bracket", "no tow bar on this van")
    assert "A" not in ordered(shop, job)
    assert shop.get(f"/jobs/{job}/refit.pdf").status_code == 200
    assert shop.look(f"/jobs/{job}/reconciliation")["findings"] == []


def test_the_order_through_a_step_that_is_gone_is_kept(shop: HttpBench) -> None:
    job = three_layers(shop)
    shop.act(job, "does-not-apply", "lead", step="bracket", reason="no tow bar")

    refused = shop.refused(job, "remove", position="P3", bag=shop.tags[0])

    assert (refused["reason"], refused["first_step"]) == ("step-first", "cover")
    shop.remove(job, "P1", shop.tags[1])
    shop.remove(job, "P3", shop.tags[0])
    shop.fit(job, "P3", shop.tags[0])
    assert shop.look(f"/jobs/{job}/refit")["steps"][0]["id"] == "box"


def test_a_hold_is_not_taken_out_of_the_plan_by_whoever_it_stops(shop: HttpBench) -> None:
    job = three_layers(shop)

    refused = shop.refused(job, "does-not-apply", step="bracket", reason="in the way")

    assert refused["reason"] == "hold-would-go"
    shop.act(
        job, "does-not-apply", step="bracket", reason="no tow bar",
        already_done={"reason": "nobody to ask"},
    )  # fmt: skip
    assert open_kinds(shop, job) == [("done-anyway", "bracket")]


def test_a_high_voltage_hold_stays_whatever_a_technician_says(shop: HttpBench) -> None:
    dead = {"id": "H1", "title": "proved dead", "high_voltage": True}
    job = shop.open_job(step("plug", 10, position("P1", {"part": "B"}, sets=1), holds=[dead]))

    refused = shop.refused(
        job, "does-not-apply", step="plug", reason="no plug", already_done={"reason": "as is"}
    )

    assert refused["reason"] == "hold-would-go"


def test_a_position_with_nothing_left_in_its_step_takes_the_step_along(shop: HttpBench) -> None:
    job = shop.open_job(
        step("S1", 10, position("P1", {"part": "C"}, sets=2)),
        step("S2", 20, position("P2", {"part": "B"}, sets=1), after=["S1"]),
    )

    said = shop.act(job, "does-not-apply", position="P1", reason="no trim on this model")

    assert [one["to"]["place"] for one in said["entries"]] == ["outside:plan-correction"]
    listed = shop.look(f"/jobs/{job}/steps")
    assert [one["id"] for one in listed["steps"]] == ["S2"]
    assert listed["not_on_this_vehicle"][0]["where"] == "at P1"
    shop.remove(job, "P2", shop.tags[0])


def test_what_came_off_was_there_and_its_removal_is_named(shop: HttpBench) -> None:
    job = shop.open_job(step("S1", 10, position("P1", {"part": "C"}, sets=2)))
    removed = shop.remove(job, "P1", shop.tags[0], sets=1)

    refused = shop.refused(job, "does-not-apply", position="P1", reason="I thought so")

    assert (refused["reason"], refused["reverse_first"]) == ("already-off", [removed["key"]])
    shop.act(job, "reverse", act=removed["key"], reason="was another position")
    shop.act(job, "does-not-apply", position="P1", reason="not on this model")


def test_a_slip_of_the_hand_is_reversed_and_all_is_as_planned(shop: HttpBench) -> None:
    job = three_layers(shop)
    said = shop.act(job, "does-not-apply", "lead", step="bracket", reason="no tow bar")

    shop.act(job, "reverse", "lead", act=said["key"], reason="it has one after all")

    assert step_of(shop, job, "bracket")["positions"][0]["secured"] == 4
    assert ordered(shop, job)["A"]["needed"] == 4
    assert shop.look(f"/jobs/{job}/steps")["not_on_this_vehicle"] == []


def test_another_count_than_planned_is_told_to_desk_and_quality_until_taken(
    shop: HttpBench,
) -> None:
    job = shop.open_job(step("S1", 10, position("P1", {"part": "A", "rule": "replace"}, sets=4)))

    shop.act(job, "differs", position="P1", sets=5, reason="a fifth bolt at the rear edge")

    found = the_finding(shop, job, "differs")
    assert (found["gravity"], found["place"]) == ("medium", "P1")
    assert "5 there, not 4 as planned" in found["words"]
    line = ordered(shop, job)["A"]
    assert line["needed"] == 5
    assert any("a fifth bolt at the rear edge" in why for why in line["why"])
    shop.act(job, "accept", "quality", finding="differs", reason="checked on the vehicle")
    assert open_kinds(shop, job) == []


def test_another_part_without_a_number_is_named_by_the_desk_later(shop: HttpBench) -> None:
    job = shop.open_job(step("S1", 10, position("P1", {"part": "B"}, sets=2)))
    shop.remove(job, "P1", shop.tags[0])

    said = shop.act(
        job, "differs", position="P1", words="black screw, cross drive", reason="not a bolt"
    )

    unnamed = said["entries"][-1]["part"]
    assert unnamed.startswith("unnamed:")
    assert (
        "black screw, cross drive instead of long bolt (B)"
        in the_finding(shop, job, "differs")["words"]
    )
    shop.act(job, "identify", "desk", what=unnamed, part="D")
    shop.secure(job, "P1", bag=shop.tags[0])
    assert shop.ledger.at(job, "secured:P1") == {"D": 2}


def test_a_number_nobody_knows_is_asked_for_in_words(shop: HttpBench) -> None:
    job = shop.open_job(step("S1", 10, position("P1", {"part": "B"}, sets=2)))

    refused = shop.refused(job, "differs", position="P1", becomes="ZZ-9", reason="as stamped")

    assert refused["code"] == "not-found"
    assert "`words`" in refused["detail"]


def shims(shop: HttpBench) -> str:
    """How many shims there are, nobody knows before the cover is off."""
    return shop.open_job(
        step("cover", 10, position("P1", {"part": "B"}, sets=2)),
        step("shims", 20, position("P2", {"part": "W"}, sets=1, as_found=True), after=["cover"]),
        step("box", 30, position("P3", {"part": "C"}, sets=1), after=["shims"]),
    )


def test_a_count_as_found_is_said_by_whoever_takes_them_off(shop: HttpBench) -> None:
    job = shims(shop)
    assert step_of(shop, job, "shims")["positions"][0]["count_as_found"]
    shop.remove(job, "P1", shop.tags[0])

    refused = shop.refused(job, "remove", position="P2", bag=shop.tags[1])

    assert refused["reason"] == "say-how-many"
    shop.remove(job, "P2", shop.tags[1], sets=3)
    (line,) = step_of(shop, job, "shims")["positions"]
    assert (line["pieces"], line["off"], line["count_as_found"]) == (3, 3, False)
    shop.remove(job, "P3", shop.tags[2])
    shop.secure(job, "P3", bag=shop.tags[2])
    shop.secure(job, "P2", bag=shop.tags[1], sets=2)
    early = shop.refused(job, "secure", position="P1", bag=shop.tags[0])
    assert (early["reason"], early["first_step"]) == ("step-first", "shims")
    shop.secure(job, "P2", bag=shop.tags[1])
    shop.secure(job, "P1", bag=shop.tags[0])
    assert open_kinds(shop, job) == []


def test_shims_nobody_counted_are_a_finding_until_their_count_is_said(shop: HttpBench) -> None:
    job = shims(shop)
    shop.remove(job, "P1", shop.tags[0])
    refused = shop.refused(job, "remove", position="P3", bag=shop.tags[2])
    assert (refused["reason"], refused["first_step"]) == ("step-first", "shims")
    shop.remove(job, "P3", shop.tags[2], already_done={"reason": "they fell out with it"})

    assert ("not-counted", "P2") in open_kinds(shop, job)

    shop.act(job, "missing", position="P2", sets=2)
    assert "not-counted" not in dict(open_kinds(shop, job))
    assert ("missing-on-arrival", "P2") in open_kinds(shop, job)


def test_no_shims_at_all_is_a_position_that_does_not_apply(shop: HttpBench) -> None:
    job = shims(shop)
    shop.remove(job, "P1", shop.tags[0])

    shop.act(job, "does-not-apply", position="P2", reason="none there")

    shop.remove(job, "P3", shop.tags[2])
    assert "not-counted" not in dict(open_kinds(shop, job))


def test_a_count_taken_back_is_not_known_again(shop: HttpBench) -> None:
    job = shims(shop)
    shop.remove(job, "P1", shop.tags[0])
    removed = shop.remove(job, "P2", shop.tags[1], quantity=3)

    shop.act(job, "reverse", act=removed["key"], reason="counted wrong")

    assert step_of(shop, job, "shims")["positions"][0]["count_as_found"]
    assert shop.ledger.at(job, "secured:P2") == {}


def test_a_step_left_out_lets_the_others_go_on_and_stays_open_with_its_reason(
    shop: HttpBench,
) -> None:
    job = shop.open_job(
        step("drain", 10),
        step("box", 20, position("P1", {"part": "B"}, sets=1), after=["drain"]),
    )
    assert shop.refused(job, "remove", position="P1", bag=shop.tags[0])["reason"] == "step-first"

    shop.act(job, "not-done", step="drain", reason="drain plug seized")
    told = shop.remove(job, "P1", shop.tags[0])["warnings"]

    assert told == ["Step 10 (step drain) was not done: drain plug seized"]
    assert "drain plug seized" in the_finding(shop, job, "step-not-done")["words"]
    assert step_of(shop, job, "drain")["not_done_because"] == "drain plug seized"
    shop.act(job, "done", step="drain")
    assert "step-not-done" not in dict(open_kinds(shop, job))


def test_a_step_with_pieces_left_out_is_taken_by_quality(shop: HttpBench) -> None:
    job = shop.open_job(
        step("shield", 10, position("P1", {"part": "B"}, sets=2)),
        step("box", 20, position("P2", {"part": "C"}, sets=1), after=["shield"]),
    )
    shop.act(job, "not-done", step="shield", reason="bolts rounded, worked around it")
    shop.remove(job, "P2", shop.tags[0])
    shop.secure(job, "P2", bag=shop.tags[0])

    assert open_kinds(shop, job) == [("step-not-done", "shield")]

    shop.act(job, "accept", "quality", finding="step-not-done", reason="never was off")
    assert open_kinds(shop, job) == []


def test_a_step_ticked_off_was_done(shop: HttpBench) -> None:
    job = shop.open_job(step("drain", 10))
    shop.act(job, "done", step="drain")

    assert shop.refused(job, "not-done", step="drain", reason="no")["reason"] == "already-done"


def stripped_thread(shop: HttpBench) -> tuple[str, str]:
    """A thread came out with its bolt; the mechanic says so, with a photo."""
    job = shop.open_job(step("S1", 10, position("P1", {"part": "B"}, sets=1)))
    shop.remove(job, "P1", shop.tags[0])
    said = shop.act(
        job, "remark", position="P1", words="thread came out", defect="stripped-thread",
        photos=["ab" * 32],
    )  # fmt: skip
    return job, str(said["key"])


def test_a_defect_is_a_finding_with_its_photo_until_quality_takes_it(shop: HttpBench) -> None:
    job, _ = stripped_thread(shop)
    shop.secure(job, "P1", bag=shop.tags[0])

    found = the_finding(shop, job, "remark")

    assert found["words"] == "Remark (stripped thread): thread came out"
    assert found["photos"] == ["ab" * 32]
    shop.act(job, "accept", "quality", finding="remark", reason="holds for now, customer told")
    assert open_kinds(shop, job) == []


def test_a_repair_by_quality_settles_the_remark_and_stays_with_the_place(shop: HttpBench) -> None:
    job, key = stripped_thread(shop)

    shop.act(
        job, "correct", "quality", position="P1", repaired="thread insert M8 fitted",
        settles=key, becomes="E", reason="repaired as the maker allows",
    )  # fmt: skip

    assert "remark" not in dict(open_kinds(shop, job))
    (line,) = step_of(shop, job, "S1", "refit")["positions"]
    assert (line["repaired"], line["stack"][0]["part"]) == ("thread insert M8 fitted", "E")
    assert shop.ledger.at(job, f"bag:{shop.tags[0]}") == {"B": 1}
    content = shop.look(f"/tags/{shop.tags[0]}")["contents"][0]
    assert content["repaired"] == "thread insert M8 fitted"
    said = shop.look(f"/jobs/{job}/reconciliation")["this_vehicle"]
    assert [(one["what"], one["words"]) for one in said] == [
        ("repaired", "thread insert M8 fitted")
    ]
    assert any("thread insert M8 fitted" in why for why in ordered(shop, job)["E"]["why"])
    assert shop.get(f"/jobs/{job}/refit.pdf").status_code == 200


def test_a_repair_that_nobody_judged_is_objected_to(shop: HttpBench) -> None:
    job, key = stripped_thread(shop)
    said = {"position": "P1", "repaired": "glued", "settles": key, "reason": "quick"}

    refused = shop.refused(job, "correct", **said)

    assert refused["reason"] == "repair-not-judged"
    shop.act(job, "correct", **said, already_done={"reason": "it was late"})
    shop.secure(job, "P1", bag=shop.tags[0])
    assert open_kinds(shop, job) == [("done-anyway", "P1")]
    shop.act(job, "accept", "quality", finding="done-anyway", reason="done over, looked at")
    assert open_kinds(shop, job) == []


def test_a_repair_undone_opens_the_remark_again(shop: HttpBench) -> None:
    job, key = stripped_thread(shop)
    said = shop.act(
        job, "correct", "lead", position="P1", repaired="insert", settles=key, reason="ok"
    )
    remark = shop.refused(job, "reverse", act=key, reason="slip")
    assert remark["reverse_first"] == [said["key"]]

    shop.act(job, "reverse", "lead", act=said["key"], reason="insert came out")

    assert ("remark", "P1") in open_kinds(shop, job)


def test_a_repair_names_a_remark_of_its_own_place(shop: HttpBench) -> None:
    job = shop.open_job(
        step("S1", 10, position("P1", {"part": "B"}, sets=1), position("P2", {"part": "C"}, sets=1))
    )
    key = shop.act(job, "remark", position="P2", words="bent", defect="bent")["key"]
    correct = {"position": "P1", "repaired": "straightened", "reason": "as said"}

    other = shop.refused(job, "correct", "lead", **correct, settles=key)
    none = shop.refused(job, "correct", "lead", **correct, settles="f" * 8 + key[8:])

    assert (other["code"], none["code"]) == ("invalid", "not-found")
