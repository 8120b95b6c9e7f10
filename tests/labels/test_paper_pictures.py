"""Photos on a paper: small, two in a row, with their words; a broken one stops no paper."""

from __future__ import annotations

import re
from io import BytesIO

from PIL import Image
from tag_bench import page_count, page_text, whole_text

from labels.draw_paper import paper_pdf
from labels.paper import Column as TableColumn
from labels.paper import Heading, KeepTogether, Paper, Picture, Pictures, Table


def photo(colour: str, width: int = 1600, height: int = 1200) -> bytes:
    out = BytesIO()
    Image.new("RGB", (width, height), colour).save(out, "JPEG")
    return out.getvalue()


def paper(*pictures: Picture) -> bytes:
    table = Table((TableColumn("Where"),), (("left sill",),))
    block = KeepTogether((Heading("Step 10", 2), Pictures(pictures), table))
    return paper_pdf(Paper(title="Refit checklist", blocks=(block,)))


def sides_px(pdf: bytes) -> list[tuple[int, int]]:
    """Width and height of each picture in the file."""
    found = re.findall(rb"/Height (\d+).*?/Subtype /Image.*?/Width (\d+)", pdf, re.DOTALL)
    return [(int(width), int(height)) for height, width in found]


def test_photos_stand_with_their_words_and_are_no_larger_than_is_shown() -> None:
    drawn = paper(
        Picture(photo("red"), "Before, left sill: hose outside"),
        Picture(photo("blue", 900, 1600), "Before: <b>the clip</b>"),
    )

    assert sorted(sides_px(drawn)) == [(270, 480), (480, 360)]
    text = page_text(drawn)
    assert "Before, left sill: hose outside" in text
    assert "<b>the clip</b>" in text
    assert page_count(drawn) == 1
    assert len(drawn) - len(paper()) < 20_000


def test_the_same_photos_give_the_same_bytes() -> None:
    given = Picture(photo("red"), "Before")

    assert paper(given) == paper(given)


def test_a_photo_that_cannot_be_opened_leaves_its_words() -> None:
    drawn = paper(Picture(photo("red")[:900], "Before, left sill"))

    assert sides_px(drawn) == []
    assert "this photo cannot be opened" in whole_text(drawn)
    assert "Before, left sill" in whole_text(drawn)


def test_no_photos_leave_no_trace() -> None:
    table = Table((TableColumn("Where"),), (("left sill",),))
    plain = (Heading("Step 10", 2), table)

    assert paper() == paper_pdf(Paper(title="Refit checklist", blocks=(KeepTogether(plain),)))
