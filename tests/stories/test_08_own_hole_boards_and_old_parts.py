"""Screws in their own holes, boards with pockets, a step at once, the old parts of a job."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from http_bench import HttpBench, Json
from ledger_bench import STATEMENT, position, step
from vans import all_seen, finding, opened, warned

BOLT = {"kind": "bolt", "thread": "M8", "drive": "hex 13"}


@pytest.fixture
def job(shop: HttpBench) -> str:
    """An under-shield with bolts of two lengths, a hub under it with single-use bolts."""
    for number, length in (("L25", 25), ("L30", 30)):
        part = {"number": number, "name": f"bolt {length}", "length_mm": length, **BOLT}
        shop.made("/parts", part, "lead")
    return shop.open_job(
        step(
            "SHIELD",
            10,
            position("SHORT", {"part": "L25"}, sets=4),
            position("LONG", {"part": "L30"}, sets=2),
            position("CLIPS", {"part": "C"}, sets=5),
            position("STRAP", {"part": "E"}, sets=1, loosen_only=True),
        ),
        step(
            "HUB",
            20,
            position("BOLTS", {"part": "A", "rule": "replace"}, {"part": "W"}, sets=4),
            position("CAP", {"part": "B"}, sets=2),
            after=["SHIELD"],
        ),
    )


def board(shop: HttpBench, pockets: int = 4) -> tuple[str, list[str]]:
    """A pattern board; answers its tag and those of its pockets."""
    made = shop.made("/tags/boards", {"pockets": pockets, "words": "pattern board"})
    return made["board"]["code"], [one["code"] for one in made["pockets"]]


def old_parts_tag(shop: HttpBench) -> str:
    """A tag printed for a job's old parts."""
    made = shop.made("/tags", {"count": 1, "words": "old parts", "use": "old-parts"})
    return str(made["tags"][0]["code"])


def moved(said: Json) -> list[tuple[str, int, str]]:
    return [(one["part"], one["quantity"], one["to"]["place"]) for one in said["entries"]]


def head(shop: HttpBench, job: str) -> str:
    return str(shop.look(f"/jobs/{job}")["head"])


def release(shop: HttpBench, job: str, **said: str) -> Json:
    return shop.act(job, "release", "quality", head=head(shop, job), **STATEMENT, **said)


# A whole step, and look-alikes


def test_a_step_comes_off_in_one_act_and_look_alikes_in_one_bag_are_told(
    shop: HttpBench, job: str
) -> None:
    said = shop.act(job, "remove", step="SHIELD", bag=shop.tags[0])

    bag = f"bag:{shop.tags[0]}"
    assert moved(said) == [
        ("L25", 4, bag), ("L30", 2, bag), ("C", 5, bag), ("E", 1, "loose:STRAP"),
    ]  # fmt: skip
    assert "bolt 25 (L25) and bolt 30 (L30)" in warned(said)
    assert "another bag or pocket" in warned(said)
    assert [one["state"] for one in shop.look(f"/jobs/{job}/steps")["steps"]] == ["off", "on"]


def test_what_is_no_look_alike_lies_together_without_a_word(shop: HttpBench, job: str) -> None:
    first = shop.remove(job, "SHORT", shop.tags[0])
    second = shop.remove(job, "CLIPS", shop.tags[0])
    third = shop.remove(job, "LONG", shop.tags[1])
    fourth = shop.act(job, "rebag", bag=shop.tags[1], into=shop.tags[0])

    assert [one["warnings"] for one in (first, second, third)] == [[], [], []]
    assert "easily confused" in warned(fourth)


def test_what_came_off_singly_is_left_out_of_the_whole_step(shop: HttpBench, job: str) -> None:
    shop.remove(job, "SHORT", shop.tags[0], quantity=1, broken=1)

    said = shop.act(job, "remove", step="SHIELD", bag=shop.tags[1])

    assert moved(said)[0] == ("L25", 3, f"bag:{shop.tags[1]}")
    refused = shop.refused(job, "remove", step="SHIELD", bag=shop.tags[1])
    assert refused["reason"] == "nothing-there"


def test_numbers_are_said_of_one_position_not_of_a_step(shop: HttpBench, job: str) -> None:
    refused = shop.refused(job, "remove", step="SHIELD", bag=shop.tags[0], quantity=3)

    assert refused["field"] == "quantity"
    assert "`position`" in refused["detail"]


def test_a_step_whose_turn_has_not_come_is_refused_whole(shop: HttpBench, job: str) -> None:
    refused = shop.refused(job, "remove", step="HUB", bag=shop.tags[0])

    assert (refused["reason"], refused["first_step"]) == ("step-first", "SHIELD")


# Boards


def test_on_a_board_each_position_lies_in_its_own_pocket(shop: HttpBench, job: str) -> None:
    tray, pockets = board(shop)

    said = shop.act(job, "remove", step="SHIELD", bag=tray)

    assert moved(said)[:3] == [
        ("L25", 4, f"bag:{pockets[0]}"),
        ("L30", 2, f"bag:{pockets[1]}"),
        ("C", 5, f"bag:{pockets[2]}"),
    ]
    assert said["warnings"] == [
        "Pocket 1: at SHORT.", "Pocket 2: at LONG.", "Pocket 3: at CLIPS.",
    ]  # fmt: skip
    seen = shop.look(f"/tags/{tray}")
    assert [(one["number"], one["words"]) for one in seen["pockets"]] == [
        (1, "4 bolt 25 (L25)"), (2, "2 bolt 30 (L30)"), (3, "5 trim clip (C)"), (4, "empty"),
    ]  # fmt: skip
    pocket = shop.look(f"/tags/{pockets[1]}")
    assert (pocket["pocket"], pocket["board"], pocket["kind"]) == (2, seen["shown"], "pocket")


def test_look_alikes_in_one_pocket_are_told_too(shop: HttpBench, job: str) -> None:
    _, pockets = board(shop)
    shop.remove(job, "SHORT", pockets[0])

    assert "easily confused" in warned(shop.remove(job, "LONG", pockets[0]))


def test_a_board_that_is_too_small_leaves_the_rest_on_and_says_so(
    shop: HttpBench, job: str
) -> None:
    tray, _ = board(shop, pockets=2)

    said = shop.act(job, "remove", step="SHIELD", bag=tray)

    assert [part for part, _, _ in moved(said)] == ["L25", "L30", "E"]
    assert "no free pocket for at CLIPS" in warned(said)


def test_a_board_is_stowed_refitted_and_seen_empty_by_its_own_tag(
    shop: HttpBench, job: str
) -> None:
    tray, _ = board(shop)
    shop.act(job, "remove", step="SHIELD", bag=tray)
    shop.act(job, "stow", tags=[tray], at="rack 3")
    steps = shop.look(f"/jobs/{job}/refit")["steps"]
    (shield,) = [one for one in steps if one["id"] == "SHIELD"]
    assert {source["stowed_at"] for one in shield["positions"] for source in one["sources"]} == {
        "rack 3"
    }
    places = [source["place"] for one in shield["positions"] for source in one["sources"]]
    assert places[0].startswith("pocket 1 of board")
    refused = shop.refused(job, "seen-empty", bags=[tray])
    assert refused["reason"] == "not-empty-in-the-book"

    shop.act(job, "secure", step="SHIELD", bag=tray)
    shop.act(job, "seen-empty", bags=[tray])

    account = shop.look(f"/jobs/{job}/reconciliation")
    assert (account["findings"], account["not_seen"]) == ([], [])
    assert (account["bags_used"], account["bags_seen_empty"]) == (3, 3)


def test_a_board_has_one_job_for_life_with_all_its_pockets(shop: HttpBench, job: str) -> None:
    _, pockets = board(shop)
    shop.remove(job, "SHORT", pockets[0])
    other = shop.open_job(step("S", 10, position("P", {"part": "C"}, sets=2)))

    refused = shop.refused(other, "remove", position="P", bag=pockets[3])

    assert refused["reason"] == "tag-of-another-job"


def test_the_tags_of_a_board_are_printed_on_one_sheet(shop: HttpBench) -> None:
    tray, _ = board(shop)

    printed = shop.get(f"/tags.pdf?board={tray}")

    assert printed.status_code == 200
    assert printed.data.startswith(b"%PDF-")


# Own hole


def strip_all(shop: HttpBench, job: str, *, bag: str) -> None:
    shop.act(job, "remove", step="SHIELD", bag=bag)
    shop.remove(job, "BOLTS", shop.tags[5])
    shop.act(job, "remove", position="CAP", own_hole=True)


def test_screws_in_their_own_holes_must_come_out_before_what_covers_them(
    shop: HttpBench, job: str
) -> None:
    strip_all(shop, job, bag=shop.tags[0])
    assert ("own-hole", "CAP", 2) in opened(shop, job)
    shop.act(job, "discard", bag=shop.tags[5], part="A")
    shop.issue(job, "A", 4, shop.tags[6])
    shop.act(job, "secure", position="BOLTS", bag=shop.tags[6])
    shop.act(job, "secure", position="BOLTS", bag=shop.tags[5])

    refused = shop.refused(job, "secure", step="SHIELD")
    assert refused["reason"] == "step-first"
    assert "in its own hole" in refused["detail"]
    refused = shop.refused(job, "secure", position="CAP")
    assert "finger-tight in their own hole" in refused["detail"]

    shop.act(job, "fit", position="CAP")
    shop.act(job, "secure", position="CAP")
    shop.act(job, "secure", step="SHIELD")
    assert opened(shop, job) == []


def test_forgotten_under_the_shield_they_are_found_and_come_out_by_the_whole_step(
    shop: HttpBench, job: str
) -> None:
    strip_all(shop, job, bag=shop.tags[0])
    shop.act(job, "exchange", "desk", bag=shop.tags[5], old_parts=old_parts_tag(shop))
    shop.secure(job, "BOLTS", bag=shop.tags[5])
    late = {"already_done": {"reason": "the shield was on before I saw it"}}
    shop.act(job, "secure", step="SHIELD", **late)

    assert finding(shop, job, "own-hole")["gravity"] == "high"

    shop.act(job, "secure", step="HUB")
    shop.act(
        job, "accept", "quality", finding="done-anyway", reason="shield off again, cap looked at"
    )
    assert opened(shop, job) == []


# Old parts


def old_bolts(shop: HttpBench, job: str) -> str:
    """The hub's single-use bolts straight into the old-parts bag, and all back with new ones."""
    old = old_parts_tag(shop)
    shop.act(job, "remove", step="SHIELD", bag=shop.tags[0])
    shop.remove(job, "BOLTS", old, part="A")
    shop.act(job, "remove", step="HUB", bag=shop.tags[1])
    shop.issue(job, "A", 4, shop.tags[2])
    shop.act(job, "secure", step="HUB")
    shop.act(job, "secure", step="SHIELD")
    all_seen(shop, job)
    return old


def test_replaced_pieces_in_the_old_parts_bag_are_no_left_overs(shop: HttpBench, job: str) -> None:
    old = old_bolts(shop, job)

    assert opened(shop, job) == []
    assert shop.look(f"/jobs/{job}/reconciliation")["not_seen"] == []
    assert "when the job is released" in shop.look(f"/tags/{old}")["next"]


def test_a_release_says_what_becomes_of_the_old_parts(shop: HttpBench, job: str) -> None:
    old = old_bolts(shop, job)
    refused = shop.refused(job, "release", "quality", head=head(shop, job), **STATEMENT)
    assert refused["reason"] == "old-parts-not-said"
    assert "4 stretch bolt (A)" in refused["detail"]

    said = release(shop, job, old_parts="discarded")

    assert moved(said) == [("A", 4, "scrap:bin")]
    account = shop.look(f"/jobs/{job}/reconciliation")
    assert (account["book_closes"], account["seen"]) == (True, True)
    assert shop.look(f"/tags/{old}")["contents"] == []


def test_kept_for_warranty_they_stay_in_their_bag_and_stand_on_the_paper(
    shop: HttpBench, job: str
) -> None:
    old = old_bolts(shop, job)

    said = release(shop, job, old_parts="kept-for-warranty")

    assert said["entries"] == []
    account = shop.look(f"/jobs/{job}/reconciliation")
    assert (account["book_closes"], account["seen"]) == (True, True)
    assert [one["quantity"] for one in shop.look(f"/tags/{old}")["contents"]] == [4]
    assert shop.get(f"/jobs/{job}/release.pdf").status_code == 200


def test_a_good_piece_thrown_into_the_old_parts_bag_is_wanted_back(
    shop: HttpBench, job: str
) -> None:
    old = old_parts_tag(shop)
    shop.act(job, "remove", step="SHIELD", bag=shop.tags[0])
    shop.act(job, "rebag", bag=shop.tags[0], into=old, part="L30", quantity=1)
    shop.act(job, "secure", step="SHIELD")

    found = finding(shop, job, "not-back")
    assert (found["position"], found["quantity"]) == ("LONG", 1)
    assert "a good one lies in old-parts bag" in found["words"]

    shop.secure(job, "LONG", bag=old)
    assert opened(shop, job) == []


# One for one, a whole bag


def test_a_whole_bag_goes_one_for_one_and_what_may_go_back_stays(shop: HttpBench, job: str) -> None:
    shop.act(job, "remove", step="SHIELD", bag=shop.tags[0])
    shop.act(job, "remove", step="HUB", bag=shop.tags[1])
    shop.act(job, "inspect", part="W", bag=shop.tags[1], quantity=1, result="fail", words="bent")
    shop.made("/workshop/acts", shop.payload("receive", part="A", quantity=3), "desk")

    said = shop.act(job, "exchange", "desk", bag=shop.tags[1], old_parts=old_parts_tag(shop))

    inside = {
        (one["part"], one["condition"]): one["quantity"]
        for one in shop.look(f"/tags/{shop.tags[1]}")["contents"]
    }
    assert inside == {("A", "new"): 4, ("W", "new"): 1, ("W", "used"): 3, ("B", "used"): 2}
    assert "1 stretch bolt (A) short" in warned(said)
    shop.act(job, "secure", step="HUB")
    shop.act(job, "secure", step="SHIELD")
    assert opened(shop, job) == []


def test_a_bag_of_good_pieces_is_not_exchanged_unless_the_part_is_named(
    shop: HttpBench, job: str
) -> None:
    shop.act(job, "remove", step="SHIELD", bag=shop.tags[0])
    old = old_parts_tag(shop)

    refused = shop.refused(job, "exchange", "desk", bag=shop.tags[0], old_parts=old)
    named = shop.act(job, "exchange", "desk", bag=shop.tags[0], old_parts=old, part="C")

    assert refused["reason"] == "nothing-to-exchange"
    assert sum(one["quantity"] for one in named["entries"] if one["to"]["place"] == f"bag:{old}")
    assert_no_left_over(shop, job, refit=("SHIELD",))


def assert_no_left_over(shop: HttpBench, job: str, *, refit: Sequence[str]) -> None:
    for name in refit:
        shop.act(job, "secure", step=name)
    assert opened(shop, job) == []
