"""The photo with its numbers on the printed checklist: at each step tapped on it, with words."""

from __future__ import annotations

from io import BytesIO

import pypdfium2
import pytest
from ledger_bench import Bench, position, step
from PIL import Image

from labels.paper import Picture
from partsvc.domain.records import Plain
from partsvc.work import photos
from partsvc.work.papers import refit_pdf
from partsvc.work.papers.step_pictures import ORDER, step_pictures
from partsvc.work.refit_list import refit_list

COLOUR = (200, 0, 200)


@pytest.fixture
def job(bench: Bench) -> str:
    return bench.open_job(
        step(
            "S1", 10, position("P1", {"part": "B"}, sets=4), position("P2", {"part": "C"}, sets=1)
        ),
        step("S2", 20, position("P3", {"part": "E"}, sets=1)),
    )


def kept(bench: Bench, colour: tuple[int, int, int] = COLOUR) -> str:
    out = BytesIO()
    Image.new("RGB", (800, 600), colour).save(out, "JPEG", quality=95)
    return photos.add(bench.service, bench.sender("tech"), out.getvalue()).hash


def spot(x: int, y: int, at: str) -> Plain:
    return {"x_permille": x, "y_permille": y, "position": at}


def pictures(bench: Bench, job: str, at: str) -> tuple[Picture, ...]:
    return step_pictures(bench.service, refit_list(bench.service, job)).get(at, ())


def test_the_marks_are_numbered_and_what_they_are_stands_below(bench: Bench, job: str) -> None:
    taps = [spot(100, 100, "P1"), spot(900, 900, "P2"), spot(900, 100, "P1")]
    bench.act(job, "spots", step="S1", photos=[kept(bench)], spots=taps)
    bench.act(job, "remove", position="P1", bag=bench.tags[0])

    (one,) = pictures(bench, job, "S1")

    assert [(mark.text, mark.done) for mark in one.marks] == [
        ("1", False), ("2", True), ("3", False),
    ]  # fmt: skip
    assert one.words.splitlines() == [
        "Before", "1, 3: at P1", "2: at P2", ORDER, "Dark: secured when this was printed.",
    ]  # fmt: skip


def test_a_photo_with_spots_comes_before_newer_ones_and_at_every_step_on_it(
    bench: Bench, job: str
) -> None:
    bench.act(
        job, "spots", step="S1", photos=[kept(bench)], spots=[spot(1, 1, "P1"), spot(5, 5, "P3")]
    )
    for shade in (10, 90):
        bench.act(job, "picture", step="S1", photos=[kept(bench, (shade, 0, 0))])

    first, second = pictures(bench, job, "S1")

    assert (len(first.marks), second.marks) == (2, ())
    assert [len(one.marks) for one in pictures(bench, job, "S2")] == [2]


def test_spots_taken_back_leave_the_photo_as_it_was(bench: Bench, job: str) -> None:
    photo = kept(bench)
    bench.act(job, "spots", step="S1", photos=[photo], spots=[spot(1, 1, "P1")])
    bench.act(job, "spots", step="S1", photo=photo)

    (one,) = pictures(bench, job, "S1")

    assert (one.marks, one.words) == ((), "Before")


def test_the_printed_checklist_has_the_marks_where_they_were_tapped(bench: Bench, job: str) -> None:
    places = [(200, 250), (800, 750)]
    taps: list[Plain] = [spot(x, y, "P1") for x, y in places]
    bench.act(job, "spots", step="S1", photos=[kept(bench)], spots=taps)
    bench.act(job, "remove", position="P1", bag=bench.tags[0])

    page = pypdfium2.PdfDocument(refit_pdf(bench.service, job))[0]
    picture = page.render(scale=4).to_pil().convert("RGB")

    saturated = picture.convert("HSV").split()[1].point(lambda value: 255 if value > 128 else 0)
    box = saturated.getbbox()
    assert box is not None
    left, top, right, bottom = box
    for x, y in places:
        middle = (left + (right - left) * x // 1000, top + (bottom - top) * y // 1000)
        # A white plate under the number, and the photo itself a few millimetres beside it.
        plate = picture.getpixel((middle[0], middle[1] + 18))
        beside = picture.getpixel((middle[0] + 60, middle[1]))
        assert isinstance(plate, tuple)
        assert isinstance(beside, tuple)
        assert min(plate) > 200
        assert beside[0] - beside[1] > 80
