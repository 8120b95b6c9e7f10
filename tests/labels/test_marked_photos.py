"""Numbered marks on a printed photo: where they were tapped, readable, dark where it is done."""

from __future__ import annotations

from io import BytesIO

import pypdfium2
import pytest
from PIL import Image
from tag_bench import page_count, page_text

from labels.draw_paper import paper_pdf
from labels.paper import Paper, Picture, PictureMark, Pictures
from labels.paper_pictures import MARKED_HIGHEST_MM, MARKED_WIDEST_MM, centre

FRAME = (200, 0, 200)
DPI = 300
RADIUS_PX = round(2.3 / 25.4 * DPI)


def framed(width: int = 1600, height: int = 1200) -> bytes:
    """A photo of one colour that nothing else on the paper has."""
    out = BytesIO()
    Image.new("RGB", (width, height), FRAME).save(out, "JPEG", quality=95)
    return out.getvalue()


def drawn(*marks: PictureMark, photo: bytes | None = None) -> bytes:
    pictures = Pictures((Picture(photo or framed(), "Before", marks),))
    return paper_pdf(Paper(title="Refit checklist", blocks=(pictures,)))


def on_paper(pdf: bytes) -> tuple[Image.Image, tuple[int, int, int, int]]:
    """The first page as a picture, and the box of the photo on it."""
    page = pypdfium2.PdfDocument(pdf)[0]
    picture = page.render(scale=DPI / 72).to_pil().convert("RGB")
    red, green, blue = picture.split()
    bright = Image.merge("RGB", (red, green, blue)).convert("HSV").split()[1]
    box = bright.point(lambda value: 255 if value > 128 else 0).getbbox()
    assert box is not None
    return picture, box


def shade(picture: Image.Image, x: int, y: int) -> str:
    """What a place on the paper is: the photo, white or black."""
    red, green, blue = picture.getpixel((x, y))  # type: ignore[misc]
    if red - green > 80 and blue - green > 80:
        return "photo"
    return "black" if red + green + blue < 384 else "white"


PLACES = [(100, 150), (500, 500), (900, 850)]


@pytest.mark.parametrize(("width", "height"), [(1600, 1200), (1200, 1600), (1600, 600)])
def test_the_marks_are_where_they_were_tapped(width: int, height: int) -> None:
    marks = [PictureMark(x, y, str(n)) for n, (x, y) in enumerate(PLACES, start=1)]

    picture, (left, top, right, bottom) = on_paper(drawn(*marks, photo=framed(width, height)))

    for x, y in PLACES:
        at = (left + (right - left) * x // 1000, top + (bottom - top) * y // 1000)
        around = [(RADIUS_PX, 0), (-RADIUS_PX, 0), (0, RADIUS_PX), (0, -RADIUS_PX)]
        assert [shade(picture, at[0] + dx, at[1] + dy) for dx, dy in around] == ["black"] * 4
        beyond = 2 * RADIUS_PX if x <= 500 else -2 * RADIUS_PX
        assert shade(picture, at[0] + beyond, at[1]) == "photo"
    assert abs((right - left) / (bottom - top) - width / height) < 0.02


def test_what_is_done_is_dark_and_what_is_not_is_light() -> None:
    picture, (left, top, right, bottom) = on_paper(
        drawn(PictureMark(250, 500, "1", done=True), PictureMark(750, 500, "2"))
    )

    def beside_the_number(x: int) -> str:
        centre_x = left + (right - left) * x // 1000
        return shade(picture, centre_x - RADIUS_PX * 7 // 10, top + (bottom - top) // 2)

    assert (beside_the_number(250), beside_the_number(750)) == ("black", "white")


def test_the_numbers_are_text_and_stand_on_one_page() -> None:
    pdf = drawn(*(PictureMark(n * 50, 500, str(100 + n)) for n in range(1, 20)))

    assert all(str(100 + n) in page_text(pdf) for n in range(1, 20))
    assert page_count(pdf) == 1


def test_a_marked_photo_is_larger_and_stays_within_its_half() -> None:
    _, (left, top, right, bottom) = on_paper(drawn(PictureMark(500, 500, "1")))

    assert (right - left) / DPI * 25.4 == pytest.approx(MARKED_WIDEST_MM, abs=0.5)
    assert (bottom - top) / DPI * 25.4 == pytest.approx(MARKED_HIGHEST_MM, abs=0.5)


@pytest.mark.parametrize(
    ("mark", "expected"),
    [
        (PictureMark(0, 0, "1"), (0.0, 60.0)),
        (PictureMark(1000, 1000, "1"), (80.0, 0.0)),
        (PictureMark(250, 750, "1"), (20.0, 15.0)),
        (PictureMark(-50, 2000, "1"), (0.0, 0.0)),
    ],
)
def test_the_middle_of_a_mark(mark: PictureMark, expected: tuple[float, float]) -> None:
    assert centre(mark, 80.0, 60.0) == pytest.approx(expected)
