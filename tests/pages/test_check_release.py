"""A mistake found by the checker, sent back, mended, accepted, released; and who may not sign."""

from __future__ import annotations

from checker import (
    act,
    answer_and_release,
    finding,
    hashes,
    line,
    look_at,
    open_deed,
    recorded,
    take_all,
    take_as_it_is,
)
from floor import PHONE, TABLET, Floor, answered
from playwright.sync_api import expect

LONG, SHORT = "KF-1112", "KF-1110"
ALREADY = {"already_done": {"reason": "it was in before I looked at the tag"}}


def a_long_bolt_taken_for_a_short_one(floor: Floor) -> None:
    """One bolt of each row comes out, and the long one goes back where the short one belongs."""
    van = floor.van
    long_bag, short_bag = (van.bags[van.home[one]] for one in ("FS-02", "FS-01"))
    for position, code in (("FS-02", long_bag), ("FS-01", short_bag)):
        recorded(floor, "miro", "remove", position=position, bag=code,
                 part=LONG if position == "FS-02" else SHORT, quantity=1, **ALREADY)  # fmt: skip
    recorded(floor, "miro", "secure", position="FS-01", bag=long_bag, part=LONG, quantity=1,
             tool="W-12", setting="20 N m", **ALREADY)  # fmt: skip


def mended(floor: Floor) -> None:
    """The technician puts each bolt where it belongs."""
    van = floor.van
    long_bag, short_bag = (van.bags[van.home[one]] for one in ("FS-02", "FS-01"))
    recorded(floor, "miro", "remove", position="FS-01", bag=long_bag, part=LONG, quantity=1,
             **ALREADY)  # fmt: skip
    for position, code in (("FS-02", long_bag), ("FS-01", short_bag)):
        recorded(floor, "miro", "secure", position=position, bag=code, quantity=1,
                 part=LONG if position == "FS-02" else SHORT,
                 tool="W-12", setting="20 N m", **ALREADY)  # fmt: skip


def test_a_look_alike_is_found_followed_sent_back_mended_and_released(refitted_van: Floor) -> None:
    van = refitted_van.van
    a_long_bolt_taken_for_a_short_one(refitted_van)
    checker = refitted_van.device("brun", size=TABLET)
    look_at(refitted_van, checker)

    # It is found, and the likely story says where to look.
    wrong = finding(checker, "wrong-part", "FS-01")
    expect(wrong).to_contain_text("grave")
    expect(wrong).to_contain_text("Miro Kell")
    expect(line(checker, "book")).to_contain_text("grave")

    # Its trail leads back to where the bolt came off.
    wrong.get_by_role("link", name="Trail").click()
    long_bag = van.bags[van.home["FS-02"]]
    shown = f"{long_bag[:4]}-{long_bag[4:]}"
    last = checker.locator("#trail .act", has_text="refused, and done anyway").last
    expect(last).to_contain_text(f"1 Bolt M8x35 flange (KF-1112): out of bag {shown}, secured here")

    # It goes back with a remark, and the technician sees it above everything else.
    checker.locator("#remark summary").click()
    checker.locator("#remark textarea").fill("A long bolt in the outer edge: take it out again.")
    checker.locator("#remark button").click()
    answered(checker, "Sent back")
    bench = refitted_van.device("miro", size=PHONE)
    bench.goto(refitted_van.url(f"/bench/{van.job}"))
    expect(bench.locator("#remarks")).to_contain_text("A long bolt in the outer edge")
    expect(bench.locator("#remarks")).to_contain_text("Brun Lott")
    mended(refitted_van)

    # The checker takes what was done anyway, each with a reason, and looks at the rest.
    look_at(refitted_van, checker)
    expect(finding(checker, "wrong-part")).to_have_count(0)
    for _ in range(finding(checker, "remark").count()):
        take_as_it_is(checker, finding(checker, "remark").first, "Mended; seen by myself.")
    expect(bench.locator("#remarks")).not_to_contain_text("A long bolt")
    for card in ("FS-01", "FS-02"):
        for _ in range(finding(checker, "second-look", card).count()):
            form = open_deed(finding(checker, "second-look", card), "Second look")
            form.get_by_role("button", name="Looked: it is right").click()
            expect(finding(checker, "second-look", card)).to_have_count(0)
    take_all(refitted_van, checker)
    expect(checker.get_by_text("Nothing is open.")).to_be_visible()

    look_at(refitted_van, checker, "/release")
    answer_and_release(checker)

    expect(checker.locator("[data-ended=released]")).to_contain_text("Brun Lott")
    acts = refitted_van.acts(van.job)
    (remark,) = (one for one in acts if one["kind"] == "remark")
    assert remark["by"] == van.people["brun"]
    assert remark["request"]["position"] == "FS-01"
    accepted = [one["effects"][0] for one in acts if one["kind"] == "accept"]
    assert ("remark", "FS-01") in {(one["finding"], one["place"]) for one in accepted}
    assert acts[-1]["kind"] == "release"
    assert acts[-1]["request"]["head"] == hashes(refitted_van)[-2]


def test_whoever_worked_on_it_is_told_before_they_are_refused(refitted_van: Floor) -> None:
    van = refitted_van.van
    code = van.bags[van.home["FS-01"]]
    for kind in ("remove", "secure"):
        recorded(refitted_van, "jorin", kind, position="FS-01", bag=code, quantity=1, **ALREADY)
    page = refitted_van.device("jorin", size=TABLET)
    look_at(refitted_van, page, "/release")

    why = page.locator("[data-why=same-person]")
    expect(why).to_contain_text("You fitted or secured on it")
    expect(why).to_contain_text("This may: Brun Lott")
    expect(page.locator("form#release")).to_have_count(0)
    head = hashes(refitted_van)[-1]
    refused = act(refitted_van, "jorin", "release", head=head, vehicle_searched=True)
    assert (refused.status, refused.body["reason"]) == (409, "same-person")


def test_a_signature_covers_what_was_looked_at_and_no_more(refitted_van: Floor) -> None:
    van = refitted_van.van
    page = refitted_van.device("brun", size=TABLET)
    take_all(refitted_van, page)
    look_at(refitted_van, page, "/release")
    expect(page.locator("form#release")).to_be_visible()
    looked = hashes(refitted_van)[-1]

    recorded(refitted_van, "tove", "confirm", position="FS-01")

    expect(page.locator("#since")).to_contain_text("Since you looked: one act")
    expect(page.locator("#since")).to_contain_text("Tove Rask")
    answer_and_release(page)
    refusal = page.locator("#refusal")
    expect(refusal).to_contain_text("Something was recorded on this job since you looked")
    refusal.get_by_text("Not done: leave it").click()
    assert refitted_van.acts(van.job)[-1]["kind"] == "confirm"

    page.get_by_role("link", name="I have looked at this, too: go on").click()
    expect(page.locator("#since .act")).to_have_count(0)
    answer_and_release(page)

    expect(page.locator("[data-ended=released]")).to_be_visible()
    released = refitted_van.acts(van.job)[-1]
    assert released["request"]["head"] == hashes(refitted_van)[-2] != looked


def test_a_released_job_is_opened_again_with_a_reason(refitted_van: Floor) -> None:
    van = refitted_van.van
    page = refitted_van.device("brun", size=PHONE)
    take_all(refitted_van, page)
    look_at(refitted_van, page, "/release")
    answer_and_release(page)
    page.locator("#reopen summary").click()
    page.locator("#reopen textarea").fill("coolant under the van after the road test")
    page.locator("#reopen button").click()

    page.wait_for_url(f"**/check/{van.job}")
    last = refitted_van.acts(van.job)[-1]
    assert (last["kind"], last["request"]["reason"]) == (
        "reopen", "coolant under the van after the road test",
    )  # fmt: skip


def test_a_job_is_handed_over_as_it_stands(stripped_van: Floor) -> None:
    van = stripped_van.van
    page = stripped_van.device("brun", size=TABLET)
    look_at(stripped_van, page, "/release")
    expect(page.locator("[data-why=findings-open]")).to_be_visible()

    page.locator("#hand-over summary").click()
    page.get_by_label("Why", exact=True).select_option("towed-away")
    page.get_by_label("Who takes the vehicle and its parts").fill("the owner's other workshop")
    page.get_by_role("button", name="Hand over").click()

    expect(page.locator("[data-ended=handed-over]")).to_contain_text("the owner's other workshop")
    last = stripped_van.acts(van.job)[-1]
    assert (last["kind"], last["by"]) == ("hand-over-incomplete", van.people["brun"])


def test_the_whole_job_is_sent_back_to_a_step(refitted_van: Floor) -> None:
    van = refitted_van.van
    page = refitted_van.device("brun", size=PHONE)
    look_at(refitted_van, page, "/release")

    page.locator("#send-back summary").click()
    page.get_by_label("What is to be put right").fill("Wipe the shield before it goes on.")
    page.get_by_label("At which step, if at one").select_option("shield-front")
    page.get_by_role("button", name="Send back").click()

    answered(page, "Sent back")
    expect(page.locator("#remarks-open")).to_contain_text("Wipe the shield")
    last = refitted_van.acts(van.job)[-1]
    assert (last["kind"], last["request"]["step"]) == ("remark", "shield-front")
