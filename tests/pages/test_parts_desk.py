"""The parts desk orders what the van needs, receives it, lays the kit out and prints its tag."""

from __future__ import annotations

import csv
import io
import sys

from desk_flows import (
    acts_of,
    codes_on,
    downloaded,
    lines_of,
    opened_pdf,
    program,
    stock_of,
    table_of,
)
from floor import DESK, TABLET, Floor, answered, wait_until
from playwright.sync_api import expect
from tally import HEADING, Tally


def test_what_the_van_needs_is_ordered_received_issued_and_tagged(opened_van: Floor) -> None:
    van = opened_van.van
    page = opened_van.device("asha", size=DESK)
    tally = Tally(page)
    page.goto(opened_van.url("/parts"))

    with tally.task("ask for all that the van lacks"):
        tally.tap(page.get_by_role("button", name="Ask for all"))
        expect(page.locator("#to-order")).to_contain_text("nothing lacks")
    asked = lines_of(opened_van)
    with tally.task("all of it ordered at one supplier"):
        tally.fill("#ordered-reference", "R-100")
        tally.fill("#ordered-promised", "2031-05-02")
        tally.tap(page.get_by_role("button", name="Ordered: all that is ticked"))
        expect(page.locator("#asked")).to_contain_text("all that was asked for is ordered")
    ordered = lines_of(opened_van)

    assert asked
    assert {one["state"] for one in asked} == {"asked"}
    assert {(one["state"], one["reference"], one["promised"]) for one in ordered} == {
        ("ordered", "R-100", "2031-05-02")
    }

    parts = [one for one in ordered if one["kind"] == "part"]
    with tally.task("all parts of the order arrive"):
        tally.tap(page.get_by_role("button", name="Arrived: all that is ticked"))
    answered(page, "Recorded")
    with tally.task("a consumable arrives"):
        tally.tap(page.locator("#coming form[action^='/parts/lines/'] button").first)

    wait_until(
        lambda: sum(one["state"] == "delivered" for one in lines_of(opened_van)) == len(parts) + 1,
        "all parts and one consumable are delivered",
    )
    assert stock_of(opened_van) == {one["what"]: one["quantity"] for one in parts}

    page.goto(opened_van.url(f"/parts/kits/{van.job}"))
    rows, bags = page.locator("#issue [data-take]"), []
    while left := rows.count():
        wanted = page.locator("#issue [data-take]:checked").count()
        with tally.task("a kit laid out in a new bag"):
            tally.tap(page.get_by_role("button", name="New tag for a kit"))
            expect(page.locator("#kit-bag")).not_to_have_value("")
            bags.append(page.locator("#kit-bag").input_value())
            tally.tap(page.get_by_role("button", name="Issue all that is ticked"))
        expect(rows).to_have_count(left - wanted)
    issued = acts_of(opened_van, "issue")

    # Bolts that are easily confused never lay in one bag, so nobody was warned.
    assert len(bags) == 2
    assert {one["request"]["bag"] for one in issued} == set(bags)
    expect(page.locator("#warned")).to_be_hidden()
    expect(page.locator("#issue")).to_contain_text("all that the refit needs is issued")

    with tally.task("a kit's tag as PDF"):
        tally.now.taps += 1
        sheet = opened_pdf(page, "Tag (PDF)")

    assert codes_on(sheet)[0] in [bag.replace("-", "") for bag in bags]
    print("\n".join([HEADING, *tally.rows()]), file=sys.stderr)


def test_what_comes_short_or_with_a_batch_is_received_as_it_is(opened_van: Floor) -> None:
    job = opened_van.van.job
    line = program(opened_van, "asha").make(
        f"/jobs/{job}/order-lines", {"part": "KF-1010", "quantity": 12, "reference": "R-7"}
    )["line"]
    page = opened_van.device("asha", size=TABLET)
    page.goto(opened_van.url("/parts#coming"))

    page.fill(f"#q-{line['id']}", "8")
    page.locator(f"#more-{line['id']} summary").click()
    page.fill(f"#b-{line['id']}", "B-22")
    page.fill(f"#u-{line['id']}", "2032-01-31")
    page.get_by_role("button", name="Only this arrived").click()
    answered(page, "Recorded")
    (now,) = lines_of(opened_van)

    assert (now["state"], now["delivered"], now["outstanding"]) == ("part-delivered", 8, 4)
    assert stock_of(opened_van) == {"KF-1010": 8}
    expect(page.locator("#coming")).to_contain_text("part-delivered (8 of 12)")
    expect(page.locator(f"#q-{line['id']}")).to_have_value("4")


def test_what_is_late_says_so_and_a_refused_note_loses_nothing_typed(opened_van: Floor) -> None:
    job = opened_van.van.job
    made = {"part": "KF-1010", "quantity": 12, "reference": "R-7", "promised": "2020-02-03"}
    line = program(opened_van, "asha").make(f"/jobs/{job}/order-lines", made)["line"]
    page = opened_van.device("asha", size=DESK)
    page.goto(opened_van.url("/parts"))
    expect(page.locator("#coming .state.stop", has_text="late").first).to_be_visible()

    page.goto(opened_van.url(f"/parts/jobs/{job}"))
    page.locator(f"#note-{line['id']} summary").click()
    note = page.locator(f"#note-{line['id']} form")
    note.get_by_label("refused by the supplier").check()
    note.get_by_label("Order number or delivery note").fill("letter of 3 May")
    note.get_by_role("button", name="Note it").click()

    expect(page.locator("#fault")).to_contain_text("Say in `words` what the supplier answered.")
    note = page.locator(f"#note-{line['id']} form")
    expect(note.get_by_label("Order number or delivery note")).to_have_value("letter of 3 May")
    expect(note.get_by_label("refused by the supplier")).to_be_checked()

    note.get_by_label("What the supplier says, or why").fill("no longer made")
    note.get_by_role("button", name="Note it").click()
    expect(page.locator(f"#line-{line['id']}")).to_contain_text("no longer made")
    (now,) = lines_of(opened_van)
    assert (now["state"], now["reference"]) == ("refused", "letter of 3 May")


def test_somebody_adds_to_the_order_what_no_plan_asks_for(opened_van: Floor) -> None:
    page = opened_van.device("asha", size=DESK)
    page.goto(opened_van.url("/parts"))

    page.locator("#add-to-order summary").click()
    page.fill("#add-part", "KF-9999")
    page.fill("#add-quantity", "3")
    page.get_by_role("button", name="Add", exact=True).click()
    expect(page.locator("#fault")).to_contain_text("The catalogue has no part KF-9999.")
    expect(page.locator("#add-quantity")).to_have_value("3")
    page.fill("#add-part", "KF-1230")
    page.get_by_role("button", name="Add", exact=True).click()

    expect(page.locator("#asked")).to_contain_text("3 × Screw ST4.8x19")
    assert [(one["what"], one["quantity"]) for one in lines_of(opened_van)] == [("KF-1230", 3)]


def test_the_order_is_a_table_that_a_spreadsheet_reads(opened_van: Floor) -> None:
    page = opened_van.device("asha", size=DESK)
    page.goto(opened_van.url("/parts"))

    text = table_of(downloaded(page, "Table for a spreadsheet"))
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    order = program(opened_van, "asha").get("/parts-desk/order")

    assert csv.Sniffer().sniff(text, delimiters=",;\t").delimiter == ","
    assert {one["part"]: int(one["order_in_all"]) for one in rows if one["part"]} == {
        one["part"]: one["to_order"] for one in order["lines"]
    }
    assert {one["needed_by"] for one in rows} == {order["lines"][0]["by"]}


def test_what_was_taken_past_the_desk_is_told_and_ticked_off(stripped_van: Floor) -> None:
    van = stripped_van.van
    tech = program(stripped_van, "tove")
    (bag,) = tech.make("/tags", {"count": 1, "use": "kit"})["tags"]
    tech.make(
        f"/jobs/{van.job}/acts",
        {
            "key": "0b9b4a5e-6a52-4c0e-9a53-6f0f6f1f6a77",
            "kind": "issue",
            "bag": bag["code"],
            "part": "KF-1230",
            "quantity": 2,
            "source": "bench",
        },
    )
    page = stripped_van.device("asha", size=TABLET)
    page.goto(stripped_van.url("/parts/told"))

    expect(page.locator("#notices")).to_contain_text("taken from the bench")
    expect(page.locator("#notices")).to_contain_text("2 × Screw ST4.8x19")
    page.fill("#tick-words", "two more ordered")
    page.get_by_role("button", name="Seen to").click()

    expect(page.locator("#notices")).to_contain_text("all is seen to")
    (told,) = program(stripped_van, "asha").get("/parts-desk/notices?open=false")["notices"]
    assert told["ticked_words"] == "two more ordered"
