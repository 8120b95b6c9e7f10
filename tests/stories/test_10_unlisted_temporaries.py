"""What goes on the vehicle for a while and stands in no plan: a rag, a timber, a bolt as a stud."""

from __future__ import annotations

import pytest
from http_bench import HttpBench, Json
from ledger_bench import position, step

RAG = "blue rag in the intake"


def findings(shop: HttpBench, job: str) -> list[tuple[str, str, int]]:
    found = shop.look(f"/jobs/{job}/reconciliation")["findings"]
    return [(one["kind"], one["place"], one["quantity"]) for one in found]


def ordered(shop: HttpBench, job: str) -> dict[str, Json]:
    return {line["part"]: line for line in shop.look(f"/jobs/{job}/order")["lines"]}


@pytest.fixture
def off(shop: HttpBench) -> str:
    """Two long bolts and a clip are off, each in its bag."""
    job = shop.open_job(
        step("S1", 10, position("P1", {"part": "B"}, sets=2), position("P2", {"part": "C"}, sets=1))
    )
    shop.remove(job, "P1", shop.tags[0])
    shop.remove(job, "P2", shop.tags[1])
    return job


def all_back(shop: HttpBench, job: str) -> None:
    shop.secure(job, "P1", bag=shop.tags[0])
    shop.secure(job, "P2", bag=shop.tags[1])


def test_a_rag_by_words_and_photo_is_a_finding_until_it_is_out(shop: HttpBench, off: str) -> None:
    all_back(shop, off)
    shop.act(off, "put-on", step="S1", words=RAG, photos=["cd" * 32])

    (found,) = shop.look(f"/jobs/{off}/reconciliation")["findings"]
    assert (found["kind"], found["photos"]) == ("on-vehicle", ["cd" * 32])
    assert RAG in found["words"]
    (line,) = shop.look(f"/jobs/{off}/refit")["steps"][0]["take_off"]
    assert (line["words"], line["on_vehicle"]) == (RAG, 1)

    shop.act(off, "take-off", step="S1", words=RAG.upper())
    assert findings(shop, off) == []


def test_timber_and_tape_are_told_apart_by_their_words(shop: HttpBench, off: str) -> None:
    all_back(shop, off)
    shop.act(off, "put-on", step="S1", words="timber under the sill", quantity=2)
    shop.act(off, "put-on", step="S1", words="tape over the port")

    shop.act(off, "take-off", step="S1", words="tape over the port")

    assert findings(shop, off) == [("on-vehicle", "on-vehicle:S1", 2)]


def test_an_old_bolt_as_a_stud_is_one_finding_and_known_to_order_and_refit(
    shop: HttpBench, off: str
) -> None:
    shop.act(off, "put-on", step="S1", bag=shop.tags[0], words="locating stud")

    shop.secure(off, "P1", bag=shop.tags[0])
    shop.secure(off, "P2", bag=shop.tags[1])

    assert findings(shop, off) == [("on-vehicle", "on-vehicle:S1", 1)]
    (found,) = shop.look(f"/jobs/{off}/reconciliation")["findings"]
    assert "long bolt (B) (locating stud) still on the vehicle" in found["words"]
    assert "back into a bag" in found["words"]
    assert ordered(shop, off).get("B", {}).get("needed", 0) == 0
    line = shop.look(f"/jobs/{off}/refit")["steps"][0]["positions"][0]
    assert [one["place"] for one in line["sources"]] == [
        "the vehicle, where it serves as a tool (step 10)"
    ]


def test_the_stud_goes_back_into_its_bag_and_home(shop: HttpBench, off: str) -> None:
    shop.act(off, "put-on", step="S1", bag=shop.tags[0], words="locating stud")

    back = shop.act(off, "take-off", step="S1", bag=shop.tags[0])

    assert back["warnings"] == []
    all_back(shop, off)
    assert findings(shop, off) == []


def test_a_stud_taken_off_and_never_back_in_its_hole_is_not_back(shop: HttpBench, off: str) -> None:
    shop.act(off, "put-on", step="S1", bag=shop.tags[0], words="locating stud")
    all_back(shop, off)

    shop.act(off, "take-off", step="S1", words="locating stud", bag=shop.tags[0])

    assert findings(shop, off) == [("not-back", "P1", 1)]
    shop.secure(off, "P1", bag=shop.tags[0])
    assert findings(shop, off) == []


def test_a_stud_laid_into_another_bag_is_asked_about_and_still_known(
    shop: HttpBench, off: str
) -> None:
    shop.act(off, "put-on", step="S1", bag=shop.tags[0])

    told = shop.act(off, "take-off", step="S1", bag=shop.tags[1])["warnings"]

    assert any("came out of bag" in words for words in told)
    all_back(shop, off)
    assert findings(shop, off) == [("not-back", "P1", 1)]
    assert shop.look(f"/tags/{shop.tags[1]}")["contents"][0]["where"] == "at P1"


def test_a_stud_is_not_taken_off_without_a_bag(shop: HttpBench, off: str) -> None:
    shop.act(off, "put-on", step="S1", bag=shop.tags[0], words="locating stud")

    refused = shop.refused(off, "take-off", step="S1", words="locating stud")

    assert refused["code"] == "invalid"
    assert "`bag`" in refused["detail"]


def test_which_piece_out_of_a_mixed_bag_is_asked_for(shop: HttpBench, off: str) -> None:
    shop.act(off, "rebag", bag=shop.tags[1], into=shop.tags[0])

    refused = shop.refused(off, "put-on", step="S1", bag=shop.tags[0])
    assert "`part`" in refused["detail"]

    shop.act(off, "put-on", step="S1", bag=shop.tags[0], part="B")
    assert shop.ledger.at(off, "on-vehicle:S1") == {"B": 1}


def test_a_single_use_stud_does_not_hide_that_a_new_bolt_is_wanted(shop: HttpBench) -> None:
    job = shop.open_job(step("S1", 10, position("P1", {"part": "A", "rule": "replace"}, sets=1)))
    shop.remove(job, "P1", shop.tags[0])

    shop.act(job, "put-on", step="S1", bag=shop.tags[0], words="guide stud")

    assert set(findings(shop, job)) == {("on-vehicle", "on-vehicle:S1", 1), ("short", "P1", 1)}
    assert ordered(shop, job)["A"]["needed"] == 1


def test_putting_on_is_reversed_and_the_bolt_is_in_its_bag(shop: HttpBench, off: str) -> None:
    said = shop.act(off, "put-on", step="S1", bag=shop.tags[0])

    shop.act(off, "reverse", act=said["key"], reason="took another one")

    assert shop.ledger.at(off, f"bag:{shop.tags[0]}") == {"B": 2}
