"""A tag from the roll to the bin: minted, printed, assigned, lost, replaced, emptied, voided."""

from __future__ import annotations

from datetime import timedelta

import pytest
from http_bench import HttpBench, problem
from ledger_bench import position, step

from partsvc.domain.printing import MOST_TRIES
from partsvc.domain.tagcode import ALPHABET
from partsvc.work.print_worker import go_round

PRINTER = {"name": "bench 4", "address": "ipp://localhost:9/ipp/print", "stock": "a4-3x7"}
LOOK_ALIKES = "0O1IL"


def came_out(bench: HttpBench, printing: str) -> None:
    """The printer went away at the last moment; somebody finds the label lying in it."""
    service = bench.ledger.service
    now = service.now
    for hours in range(MOST_TRIES + 1):
        service.now = lambda hours=hours: now() + timedelta(hours=hours)  # type: ignore[misc]
        go_round(service)
    service.now = now
    assert bench.look(f"/printings/{printing}")["stage"] == "failed"
    seen = bench.post(f"/printings/{printing}/seen", {"came_out": True})
    assert seen.status_code == 200, seen.text


def test_the_life_of_a_tag(bench: HttpBench) -> None:
    job = bench.open_job(step("S1", 10, position("P1", {"part": "C"}, sets=2)))
    other = bench.open_job(step("S1", 10, position("P1", {"part": "C"}, sets=2)))

    # From a roll of blank ones: nobody's yet.
    minted = bench.made("/tags", {"count": 2})["tags"]
    code, fresh = (one["code"] for one in minted)
    blank = bench.look(f"/tags/{code}")
    assert ("job" in blank, blank["copies"], blank["void"]) == (False, 0, False)

    # Printed, and printed again: both copies are good, and counted.
    printer = bench.made("/printers", PRINTER, "lead")["id"]
    (first,) = bench.made("/printings", {"printer": printer, "codes": [code]})["printings"]
    came_out(bench, first["id"])
    again = bench.made(f"/printings/{first['id']}/again", {})
    came_out(bench, again["id"])
    assert bench.look(f"/tags/{code}")["copies"] == 2

    # The first scan makes it this job's, for life.
    bench.remove(job, "P1", code)
    taken = bench.refused(other, "remove", position="P1", bag=code)
    assert taken["reason"] == "tag-of-another-job"
    used = bench.look(f"/tags/{code}")
    assert (used["job"]["id"], used["copies"]) == (job, 2)
    assert sum(one["quantity"] for one in used["contents"]) == 2
    full = bench.post(f"/tags/{code}/void", {"reason": "torn"})
    assert full.status_code == 409

    # Soaked: the bag is counted blind and carries another tag from now on.
    bench.act(job, "retag", bag=code, into=fresh, counted=[{"part": "C", "quantity": 2}])
    dead = bench.look(f"/tags/{code}")
    assert (dead["void"], dead["carries_now"].replace("-", ""), dead["contents"]) == (
        True, fresh, [],
    )  # fmt: skip
    assert bench.refused(job, "stow", tags=[code], at="rack 2")["reason"] == "void-tag"
    assert bench.look(f"/tags/{fresh}")["copies"] == 0

    # Emptied, seen empty, and voided: it is never good again.
    bench.secure(job, "P1", bag=fresh)
    bench.act(job, "seen-empty", bags=[fresh])
    assert bench.look(f"/tags/{fresh}")["seen_empty"] is True
    assert bench.post(f"/tags/{fresh}/void", {"reason": "done with"}).status_code == 200
    assert bench.look(f"/tags/{fresh}")["void"] is True
    assert bench.post(f"/tags/{fresh}/void", {"reason": "again"}).status_code == 409
    assert bench.refused(job, "stow", tags=[fresh], at="rack 2")["reason"] == "void-tag"


def test_every_slip_of_one_character_and_every_swap_is_caught(bench: HttpBench) -> None:
    code = bench.made("/tags", {"count": 1})["tags"][0]["code"]
    slips = {
        code[:at] + other + code[at + 1 :]
        for at in range(len(code))
        for other in ALPHABET
        if other != code[at]
    }
    swaps = {
        code[:at] + code[at + 1] + code[at] + code[at + 2 :]
        for at in range(len(code) - 1)
        if code[at] != code[at + 1]
    }
    assert len(slips) == 8 * 28

    for typed in slips | swaps:
        told = problem(bench.get(f"/tags/{typed}"))
        assert (told["status"], told["code"]) == (422, "mistyped-code"), typed
        assert code in told["suggestions"], typed


def test_look_alike_characters_are_never_issued(bench: HttpBench) -> None:
    codes = [one["code"] for one in bench.made("/tags", {"count": 1000})["tags"]]

    assert len(set(codes)) == 1000
    assert set("".join(codes)) & set(LOOK_ALIKES) == set()


@pytest.mark.parametrize("strange", LOOK_ALIKES)
def test_a_look_alike_that_was_typed_leads_to_the_one_tag_that_was_meant(
    bench: HttpBench, strange: str
) -> None:
    code = bench.tags[0]
    for at in range(len(code)):
        found = bench.get(f"/tags/{code[:at]}{strange}{code[at + 1 :]}")
        # What it is often taken for is read as meant; anything else is suggested.
        if found.status_code == 200:
            assert dict(found.json or {})["code"] == code
        else:
            told = problem(found)
            assert (told["status"], told["suggestions"]) == (422, [code])
    assert bench.look(f"/tags/{code[:4].lower()}-{code[4:].lower()}")["code"] == code
