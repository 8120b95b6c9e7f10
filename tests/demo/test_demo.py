"""The demonstration, played once through the real service: what is planted is found, and only that.

The folder already holds what an earlier run left, and a file of somebody else's.
"""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

import pypdfium2
import pytest
import zxingcpp
from played_demo import Played
from scenario_files import PANEL, PLAN, POSITIONS

from partsvc.domain.tagcode import read, shown
from partsvc.work.upkeep import verify_file
from seed.play import demo, mistakes, papers
from seed.play.loopback import NotOurs

pytestmark = pytest.mark.xdist_group("demo")

# What is open before the road test because it comes after it, or is for quality to accept.
STILL_TO_DO = ("hold-open", "step-not-done", "done-anyway")
PRINTED_CODE = re.compile(r"\b[0-9A-Z]{4}-[0-9A-Z]{4}\b")
DOTS_PER_INCH = 300


# What goes wrong, and is found


def test_the_book_finds_what_was_planted_and_nothing_else(played: Played) -> None:
    before = played.document("reconciliation-before.json")
    found = [
        (f["kind"], f["step"], f["place"], f["quantity"])
        for f in before["findings"]
        if f["kind"] not in STILL_TO_DO
    ]

    planted = [
        (p.kind, p.step, p.place, p.quantity)
        for p in mistakes.PLANTED
        if p.found_at == mistakes.OUTSIDE
    ]
    assert sorted(found) == sorted(planted)
    assert not before["book_closes"]


def test_nothing_is_covered_that_is_not_in_order(played: Played) -> None:
    for hold in mistakes.PUT_RIGHT:
        at = played.said.index(f"Not passed: {PLAN.holds[hold][1].title}")
        words = played.said[at + 1]
        planted = [p for p in mistakes.PLANTED if p.found_at == hold]

        assert words.count("Step ") == len(planted) == 4
        assert {f"Step {PLAN.step_of[p.step].number}" for p in planted} == set(
            re.findall(r"Step [0-9]+", words)
        )


def test_the_plug_is_handed_over_and_dead_is_proved_again_by_the_next_shift(
    played: Played,
) -> None:
    moved = [
        [(entry["from"]["place"], entry["to"]["place"]) for entry in act["entries"]]
        for act in played.acts
        if any("with:" in entry["to"]["place"] for entry in act["entries"])
    ]
    (first,), (second,) = moved
    assert first[0] == "secured:SP-01"
    assert second == (first[1], second[1]) != (first[1], first[1])
    proved = [act for act in played.of_kind("hold") if act["request"]["hold"] == "h-dead"]
    assert len({act["by"] for act in proved}) == len(proved) == 2
    locks = [act["kind"] for act in played.acts if act["kind"] in ("lock", "unlock")]
    assert locks == ["lock", "lock", "unlock", "unlock"]
    assert played.told("another's lock is on").startswith("Step 50 (Service plug pulled) brings")


def test_no_bag_is_left_unseen_but_those_that_hold_something(played: Played) -> None:
    before = played.document("reconciliation-before.json")

    assert before["not_seen"] == []
    holding = {finding["bag"] for finding in before["findings"] if finding["bag"]}
    assert before["bags_used"] - before["bags_seen_empty"] == len(holding)


def test_the_wrong_bag_was_refused_before_it_was_recorded(played: Played) -> None:
    forced = [act for act in played.acts if "already_done" in act["request"]]

    overridden = [
        e["rule"] for act in forced for e in act["effects"] if e["effect"] == "overridden"
    ]
    assert Counter(overridden) == {"wrong-bag": 2, "single-use": 1}


def test_the_order_names_the_clip_that_can_be_had_today(played: Played) -> None:
    learnt = [line for line in played.said if "(1 broke)" in line]

    named = [re.findall(r"KF-[0-9]{4}", line) for line in learnt]
    assert named == [["KF-1302", "KF-1301"], ["KF-1304"]]
    assert "(KF-1302) instead of KF-1301" in learnt[0]


# How it is put right


def test_everything_is_put_right_and_the_account_closes(played: Played) -> None:
    after = played.document("reconciliation-after.json")

    assert after["book_closes"]
    assert after["seen"]
    assert after["findings"] == []
    assert all(account["balanced"] for account in after["accounts"])


def test_what_was_done_against_a_refusal_is_accepted_with_a_reason(played: Played) -> None:
    accepted = played.document("reconciliation-after.json")["accepted"]

    assert Counter((one["kind"], one["place"]) for one in accepted) == {
        ("done-anyway", "FS-01"): 1,
        ("done-anyway", "FS-02"): 1,
        ("done-anyway", "PB-L1"): 1,
        ("lost", f"lost:bag:{bag_of(played, 'PA-02')}"): 1,
    }
    assert all(one["accepted_because"] for one in accepted)


def bag_of(played: Played, position: str) -> str:
    """The tag of the bag that a position's pieces went into."""
    for act in played.of_kind("remove"):
        for entry in act["entries"]:
            if entry["from"]["place"] == f"secured:{position}":
                return str(entry["to"]["place"]).removeprefix("bag:")
    raise AssertionError(f"nothing came off at {position}")


def test_somebody_who_fitted_nothing_releases_the_job(played: Played) -> None:
    (release,) = played.of_kind("release")
    fitted = {act["by"] for act in played.of_kind("secure")}

    assert release["by"] not in fitted
    assert played.acts[-1] == release
    assert len({act["by"] for act in played.acts}) >= 4


def test_every_piece_ends_in_its_place(played: Played) -> None:
    accounts = played.document("reconciliation-after.json")["accounts"]

    secured = sum(account["is_now"].get("secured", 0) for account in accounts)
    assert secured == sum(position.pieces() for position in POSITIONS)
    elsewhere = Counter(place for account in accounts for place in account["is_now"])
    assert set(elsewhere) == {"secured", "scrap", "missing", "lost"}
    # What was not there on arrival, and what fell behind the seat; new ones are in their place.
    assert (elsewhere["missing"], elsewhere["lost"]) == (1, 1)


def test_acts_stand_in_the_order_of_their_times(played: Played) -> None:
    times = [act["done_at"] for act in played.acts if act["kind"] in ("remove", "secure", "hold")]

    assert times == sorted(times)


# What is written


def test_all_papers_are_there(played: Played) -> None:
    sizes = {paper.name: (played.out / paper.name).stat().st_size for paper in papers.ALL}

    assert all(sizes.values())
    pdfs = [name for name in sizes if name.endswith(".pdf")]
    assert all((played.out / name).read_bytes().startswith(b"%PDF-") for name in pdfs)


def test_every_tag_is_read_from_paper_and_printed_as_text(played: Played) -> None:
    sheets = pypdfium2.PdfDocument((played.out / "tags.pdf").read_bytes())
    effects = [effect for act in played.acts for effect in act["effects"]]
    used = {effect["tag"] for effect in effects if effect["effect"] == "tag-used"}
    dead = {effect["tag"] for effect in effects if effect["effect"] == "tag-replaced"}
    scanned: list[str] = []
    printed: set[str] = set()
    for page in sheets:
        picture = page.render(scale=DOTS_PER_INCH / 72).to_pil()
        codes = zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)
        scanned += [read(code.text) for code in codes]
        printed |= set(PRINTED_CODE.findall(page.get_textpage().get_text_range()))

    assert len(scanned) == len(set(scanned))
    assert len(dead) == 1
    assert set(scanned) == used - dead
    assert {shown(read(code)) for code in scanned} <= printed


def test_the_ledger_file_proves_itself(played: Played) -> None:
    with (played.out / "ledger.jsonl").open("rb") as lines:
        verified = verify_file(lines)

    assert list(verified.faults) == []
    assert verified.acts == len(played.acts)


def test_a_ledger_file_with_one_word_changed_does_not(played: Played, tmp_path: Path) -> None:
    changed = tmp_path / "changed.jsonl"
    text = (played.out / "ledger.jsonl").read_text("utf-8")
    changed.write_text(text.replace("three went in", "four went in"), "utf-8")

    with changed.open("rb") as lines:
        verified = verify_file(lines)

    assert list(verified.faults) != []


# What is said, and what a second run does


def test_the_account_tells_how_to_go_on_and_what_no_book_shows(played: Played) -> None:
    said = "\n".join(played.said)

    assert f"partsvc serve --folder {played.data}" in said
    assert "tove-demo" in said
    assert "An exchange of look-alikes whose scans and counts agree leaves no record" in said
    assert f"{len(PLAN.steps)} steps" in said


def test_the_panel_is_stripped_without_a_procedure_and_named_afterwards(played: Played) -> None:
    told = next(line for line in played.said if line.startswith(PANEL["title"]))

    pieces = sum(group["quantity"] for group in PANEL["groups"])
    assert f"{len(PANEL['groups'])} groups, {pieces} pieces" in told
    assert "1 not yet" in told


def test_a_run_replaces_what_an_earlier_run_made_and_nothing_else(played: Played) -> None:
    assert not (played.data / "left-by-the-last-run").exists()
    assert (played.out / "ledger.jsonl").stat().st_size > len("old")
    assert (played.out / "somebody-elses.txt").read_text("utf-8") == "mine"


def test_a_folder_of_somebody_elses_is_left_alone(tmp_path: Path) -> None:
    mine = tmp_path / "data"
    mine.mkdir()
    (mine / "letters.txt").write_text("mine", "utf-8")

    with pytest.raises(NotOurs, match="Nothing was touched"):
        demo(tmp_path, mine, print)

    assert [(one.name, one.read_text("utf-8")) for one in mine.iterdir()] == [
        ("letters.txt", "mine")
    ]
