"""Printed papers: every word arrives, whatever the words are, and every page can stand alone."""

from __future__ import annotations

import re
from concurrent.futures import ThreadPoolExecutor

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tag_bench import (
    fonts_of_words,
    page_count,
    page_picture,
    page_text,
    path_bounds_mm,
    unembedded_fonts,
    whole_text,
)

from labels.draw_paper import paper_pdf
from labels.paper import (
    Align,
    Block,
    Caution,
    Cell,
    Column,
    Danger,
    Heading,
    KeepTogether,
    Marked,
    Paper,
    PaperFault,
    Paragraph,
    Signature,
    StatusLine,
    Strong,
    Table,
    Tick,
    TwoLines,
)
from labels.shapes import Shape

COLUMNS = (
    Column("Done", 14, align=Align.CENTRE),
    Column("No.", 13, align=Align.RIGHT),
    Column("Position", share=1.4),
    Column("Part"),
    Column("Rule"),
)
FACTS = (("Job", "24-0113"), ("Vehicle", "Panel van"))


def row(number: int, part: str = "Flange bolt M10 x 35") -> tuple[Cell, ...]:
    return (
        Tick(),
        str(number),
        f"Left sill, spot {number}",
        Strong(part),
        Marked(Shape.CROSSED_BOX, "REPLACE"),
    )


def paper(*blocks: Block) -> Paper:
    return Paper(
        title="Refit checklist",
        subtitle="In the order of what was really done",
        facts=FACTS,
        blocks=blocks,
        footer="A copy; the service keeps the record",
    )


EVERY_KIND = paper(
    TwoLines(
        (
            StatusLine("The book closes", "YES", True),
            StatusLine("Seen: bags empty, bay searched", "NOT YET", False),
            StatusLine("Independent look", "NOT KNOWN", None),
        )
    ),
    Caution("Proved dead first, by a second person too.", Danger.HIGH_VOLTAGE),
    Caution("Support the pack before the last bolt is loosened."),
    Heading("Step 12: underbody tray"),
    Paragraph("From rear to front.\nNew bolts where the rule says REPLACE."),
    Table(COLUMNS, tuple(row(n) for n in range(1, 8))),
    Heading("Left over", 2),
    Table((Column("Bag", 30), Column("What")), ()),
    KeepTogether((Heading("Release"), Signature(("Name", "Signature", "Date and time")))),
)


def words_of(pdf: bytes) -> str:
    return " ".join(whole_text(pdf).split())


def letters_of(text: str) -> str:
    """Only the letters: where a line or a word was broken does not matter."""
    return re.sub(r"\W", "", text)


def test_a_paper_says_everything_it_was_given() -> None:
    said = words_of(paper_pdf(EVERY_KIND))

    for expected in (
        "Refit checklist In the order of what was really done Job 24-0113 Vehicle Panel van",
        "The book closes YES Seen: bags empty, bay searched NOT YET Independent look NOT KNOWN",
        "DANGER HIGH VOLTAGE Proved dead first, by a second person too.",
        "CAUTION Support the pack before the last bolt is loosened.",
        "Step 12: underbody tray From rear to front. New bolts where the rule says REPLACE.",
        "Left over Bag What Nothing to list.",
        "Name Signature Date and time",
    ):
        assert letters_of(expected) in letters_of(said)


def test_a_box_to_tick_is_drawn_large_enough_for_a_pen() -> None:
    ticks = paper_pdf(paper(Table((Column("Done", 20), Column("Part")), ((Tick(), "Bolt"),))))

    sides = [(right - left, foot - top) for left, top, right, foot in path_bounds_mm(ticks)]

    squares = [side for side in sides if side[0] == pytest.approx(side[1], abs=0.01)]
    assert len(squares) == 1
    assert 4.0 < squares[0][0] < 6.0


def test_answers_differ_by_shape_and_not_by_colour() -> None:
    def page(ok: bool | None) -> bytes:
        line = StatusLine("Question", "ANSWER", ok)
        picture = page_picture(paper_pdf(paper(TwoLines((line,)))), dpi=100)
        assert all(red == green == blue for _, (red, green, blue) in picture.getcolors(1 << 16))
        return picture.tobytes()

    assert len({page(True), page(False), page(None)}) == 3


def test_cautions_differ_by_their_sign_and_their_word() -> None:
    assert Danger.CAUTION.shape is Shape.WARNING
    assert Danger.HIGH_VOLTAGE.shape is Shape.VOLTAGE
    assert [danger.value for danger in Danger] == ["CAUTION", "DANGER HIGH VOLTAGE"]


def test_marks_in_someones_words_are_printed_and_not_obeyed() -> None:
    hostile = '<b>bold</b> & <font color="red">red</font> <br/> &amp; <para> <img src="x"/> ]]>'
    blocks = (
        Heading(hostile),
        Paragraph(hostile),
        Caution(hostile),
        Table((Column(hostile), Column("Part")), ((hostile, Strong(hostile)),), empty=hostile),
        Table((Column("Part"),), (), empty=hostile),
        TwoLines((StatusLine(hostile, hostile, True),)),
        Signature((hostile,)),
    )

    said = letters_of(words_of(paper_pdf(paper(*blocks))))

    assert said.count(letters_of(hostile)) >= 7


def test_very_long_words_and_texts_lose_nothing() -> None:
    long_word = "".join(f"W{n:04d}" for n in range(300))
    long_text = " ".join(f"word{n}" for n in range(3000))
    table = Table(COLUMNS, ((Tick(), "1", long_word, Strong(long_text), Marked(Shape.TICK, "ok")),))

    pdf = paper_pdf(paper(Paragraph(long_word), Caution(long_text), table))

    said = letters_of(words_of(pdf))
    assert said.count("W0299") == 2
    assert said.count("word2999") == 2
    assert page_count(pdf) > 4


def test_words_nobody_bounded_stay_on_the_paper() -> None:
    endless = "endless " * 400

    pdf = paper_pdf(
        Paper(
            title=endless,
            subtitle=endless,
            facts=((endless, endless),) * 9,
            blocks=(
                Heading(endless),
                TwoLines((StatusLine(endless, endless, None),)),
                Table((Column(endless, 12), Column(endless, 12), Column("Part")), ()),
                Signature((endless,) * 4),
            ),
            footer=endless,
        )
    )

    for page in range(page_count(pdf)):
        for left, top, right, foot in path_bounds_mm(pdf, page):
            assert (left > 15, top > 10, right < 195, foot < 287) == (True,) * 4


def test_five_hundred_rows_are_all_there_under_a_repeated_header() -> None:
    pdf = paper_pdf(paper(Table(COLUMNS, tuple(row(n) for n in range(1, 501)))))

    pages = page_count(pdf)
    assert re.findall(r"spot (\d+)", words_of(pdf)) == [str(n) for n in range(1, 501)]
    assert all("Position" in page_text(pdf, page) for page in range(pages))


def test_every_page_says_which_it_is_and_whose() -> None:
    pdf = paper_pdf(paper(Table(COLUMNS, tuple(row(n) for n in range(1, 81)))))

    pages = page_count(pdf)
    assert pages > 2
    for page in range(pages):
        said = " ".join(page_text(pdf, page).split())
        assert f"Page {page + 1} of {pages}" in said
        assert "Refit checklist" in said
        assert "24-0113" in said
        assert "A copy; the service keeps the record" in said


def test_blocks_kept_together_share_a_page() -> None:
    fill = Table((Column("Part"),), tuple((f"part {n}",) for n in range(31)))
    release = KeepTogether((Heading("Release"), Paragraph("I looked."), Signature(("Name",))))

    pdf = paper_pdf(paper(fill, release))

    places = [page for page in range(page_count(pdf)) if "Release" in page_text(pdf, page)]
    assert "I looked." in page_text(pdf, places[0])
    assert "Name" in page_text(pdf, places[0])


def test_a_heading_does_not_stay_behind_at_the_foot_of_a_page() -> None:
    for rows in range(20, 40):
        fill = Table((Column("Part"),), tuple((f"part {n}",) for n in range(rows)))
        pdf = paper_pdf(paper(fill, Heading("Next step"), Table(COLUMNS, (row(7),))))
        with_heading = [n for n in range(page_count(pdf)) if "Next step" in page_text(pdf, n)]
        with_row = [n for n in range(page_count(pdf)) if "spot 7" in page_text(pdf, n)]
        assert with_heading == with_row


def test_an_empty_paper_still_has_its_head() -> None:
    pdf = paper_pdf(Paper(title="Order list"))

    assert page_count(pdf) == 1
    assert " ".join(page_text(pdf).split()) == "Page 1 of 1 Order list"


def test_empty_blocks_take_no_room() -> None:
    pdf = paper_pdf(paper(TwoLines(()), Signature(()), KeepTogether(()), Paragraph("")))

    assert page_count(pdf) == 1


def test_the_same_paper_gives_the_same_bytes_also_from_several_threads() -> None:
    expected = paper_pdf(EVERY_KIND)

    with ThreadPoolExecutor(4) as pool:
        drawn = list(pool.map(paper_pdf, [EVERY_KIND] * 8))

    assert drawn == [expected] * 8


def test_a_paper_carries_every_font_it_names() -> None:
    pdf = paper_pdf(EVERY_KIND)

    assert unembedded_fonts(pdf) == []
    assert all(fonts_of_words(pdf, page) == {True} for page in range(page_count(pdf)))


def test_letters_of_other_alphabets_are_printed() -> None:
    words = "Прокладка Ø18, łącznik, σφιγκτήρας, 35 µm"

    assert words in words_of(paper_pdf(paper(Paragraph(words))))


@pytest.mark.parametrize(
    "columns",
    [
        (Column("A", 100), Column("B", 100)),
        (Column("A", 170), Column("B")),
        (Column("A", 4), Column("B")),
        tuple(Column(f"C{n}") for n in range(30)),
    ],
)
def test_columns_that_do_not_fit_are_named(columns: tuple[Column, ...]) -> None:
    with pytest.raises(PaperFault, match=r"would be .* mm wide"):
        paper_pdf(paper(Table(columns, ())))


def test_a_row_with_a_cell_too_few_is_named() -> None:
    with pytest.raises(PaperFault, match="Row 2 of the table headed 'A' has 1 cells for 2"):
        Table((Column("A"), Column("B")), (("a", "b"), ("a",)))


def test_other_slips_are_refused_in_words() -> None:
    with pytest.raises(PaperFault, match="level 3"):
        Heading("Too deep", 3)
    with pytest.raises(PaperFault, match="at least one column"):
        Table((), ())
    with pytest.raises(PaperFault, match="width or share above 0"):
        Column("A", share=0)


@settings(deadline=None, max_examples=40)
@given(
    st.lists(
        st.one_of(
            st.text(max_size=300).map(Paragraph),
            st.text(max_size=300).map(Caution),
            st.text(max_size=300).map(Heading),
            st.lists(st.text(max_size=300), max_size=5).map(
                lambda texts: Table((Column("A"), Column("B")), tuple((t, Tick()) for t in texts))
            ),
        ),
        max_size=6,
    )
)
def test_whatever_the_words_a_paper_is_drawn(blocks: list[Block]) -> None:
    pdf = paper_pdf(paper(*blocks, Paragraph("the end")))

    assert "the end" in words_of(pdf)
