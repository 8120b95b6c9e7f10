"""Photos of a job: taken before and after, listed, on the checklist; what is none is refused."""

from __future__ import annotations

import struct
import zlib
from io import BytesIO
from typing import Any

import pytest
from http_bench import HttpBench, problem
from ledger_bench import position, step
from PIL import Image

from partsvc.work import upkeep

GPS = 0x8825
STEP = step(
    "S1", 10, position("P1", {"part": "C"}, sets=2), position("P2", {"part": "B"}, sets=1)
)  # fmt: skip


def saved(colour: str, kind: str = "JPEG", **options: Any) -> bytes:
    out = BytesIO()
    Image.new("RGB", (640, 480), colour).save(out, kind, **options)
    return out.getvalue()


def bomb_png(side: int = 60_000) -> bytes:
    """A few hundred bytes that say they are a picture of `side` times `side` pixels."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    head = struct.pack(">IIBBBBB", side, side, 8, 0, 0, 0, 0)
    body = zlib.compress(b"\0" * 100_000)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


def send(bench: HttpBench, path: str, data: bytes, kind: str = "image/jpeg") -> Any:
    return bench.send("POST", path, "tech", data=data, content_type=kind)


def kept(bench: HttpBench, colour: str) -> str:
    found = send(bench, "/photos", saved(colour))
    assert found.status_code == 201, found.text
    return str(found.json["hash"])


@pytest.fixture
def job(bench: HttpBench) -> str:
    return bench.open_job(STEP, step("S2", 20, position("P3", {"part": "E"}, sets=1)))


def listed(bench: HttpBench, job: str, asked: str = "") -> list[tuple[str, str, Any, Any]]:
    return [
        (one["kind"], one["shows"], one["positions"], one["bags"])
        for one in bench.look(f"/jobs/{job}/photos{asked}")["photos"]
    ]


def test_photos_are_found_by_step_by_position_and_by_bag(bench: HttpBench, job: str) -> None:
    red, green, blue = (kept(bench, one) for one in ("red", "green", "blue"))
    one, two = bench.tags[:2]
    bench.act(job, "picture", step="S1", photos=[red], words="all of it")
    bench.remove(job, "P1", one, photos=[green, green])
    bench.remove(job, "P2", two)
    bench.act(job, "picture", bag=one, photos=[blue])
    bench.secure(job, "P1", bag=one, photos=[red])
    bench.act(job, "picture", position="P1", photos=[blue])

    assert listed(bench, job) == [
        ("picture", "before", [], []),
        ("remove", "before", ["P1"], [one]),
        ("picture", "before", [], [one]),
        ("secure", "after", ["P1"], [one]),
        ("picture", "after", ["P1"], []),
    ]
    assert [kind for kind, *_ in listed(bench, job, "?step=S1")] == [
        "picture", "remove", "secure", "picture",
    ]  # fmt: skip
    assert listed(bench, job, "?position=P2") == []
    assert [kind for kind, *_ in listed(bench, job, f"?bag={one[:4].lower()}-{one[4:]}")] == [
        "remove", "picture", "secure",
    ]  # fmt: skip
    first = bench.look(f"/jobs/{job}/photos")["photos"][0]
    assert (first["hash"], first["by"], first["by_name"], first["words"], first["step"]) == (
        red, "tech", "tech", "all of it", "S1",
    )  # fmt: skip
    assert (first["kept"], first["undone"]) == (True, False)


def test_one_photo_of_many_emptied_bags_is_found_by_each(bench: HttpBench, job: str) -> None:
    photo = kept(bench, "white")
    for at, tag in (("P1", bench.tags[0]), ("P2", bench.tags[1])):
        bench.remove(job, at, tag)
        bench.secure(job, at, bag=tag)

    bench.act(job, "seen-empty", bags=bench.tags[:2], photos=[photo])

    for tag in bench.tags[:2]:
        assert listed(bench, job, f"?bag={tag}") == [("seen-empty", "after", [], [tag])]
    ((_, _, positions, bags),) = listed(bench, job)
    assert (positions, sorted(bags)) == ([], sorted(bench.tags[:2]))


def test_it_may_be_said_whether_a_photo_shows_before_or_after(bench: HttpBench, job: str) -> None:
    bench.act(job, "picture", position="P3", when="after", photos=[kept(bench, "red")])

    assert listed(bench, job) == [("picture", "after", ["P3"], [])]


def test_a_photo_that_was_named_before_it_was_sent_is_told_apart(
    bench: HttpBench, job: str
) -> None:
    bench.act(job, "picture", position="P3", photos=["ab" * 32])

    (one,) = bench.look(f"/jobs/{job}/photos")["photos"]
    assert one["kept"] is False
    assert bench.get(f"/jobs/{job}/refit.pdf").status_code == 200


def test_a_photo_of_an_act_that_was_undone_stays_and_says_so(bench: HttpBench, job: str) -> None:
    done = bench.remove(job, "P1", bench.tags[0], photos=[kept(bench, "red")])
    bench.act(job, "reverse", act=done["key"], reason="the wrong side")

    (one,) = bench.look(f"/jobs/{job}/photos")["photos"]
    assert one["undone"] is True


def test_the_list_goes_on_from_page_to_page(bench: HttpBench, job: str) -> None:
    for colour in ("red", "green", "blue"):
        bench.act(job, "picture", position="P1", photos=[kept(bench, colour)])

    first = bench.get(f"/jobs/{job}/photos?limit=2")
    assert first.json is not None
    rest = listed(bench, job, f"?limit=2&after={first.json['next_after']}")

    assert (len(first.json["photos"]), len(rest)) == (2, 1)
    assert 'rel="next"' in first.headers["Link"]


def test_a_picture_needs_a_photo_and_something_that_is_on_it(bench: HttpBench, job: str) -> None:
    without = bench.refused(job, "picture", position="P1")
    of_nothing = bench.refused(job, "picture", photos=["ab" * 32])
    nowhere = bench.refused(job, "picture", position="P9", photos=["ab" * 32])

    assert (without["status"], without["field"]) == (422, "photos")
    assert (of_nothing["status"], of_nothing["field"]) == (422, "position")
    assert nowhere["status"] == 404


def test_a_picture_leaves_nothing_to_be_answered_for(bench: HttpBench, job: str) -> None:
    before = bench.ledger.findings(job, seen=True)
    bench.act(job, "picture", position="P1", photos=[kept(bench, "red")])

    assert bench.ledger.findings(job, seen=True) == before


def test_the_checklist_shows_the_newest_two_of_how_each_step_was(
    bench: HttpBench, job: str
) -> None:
    plain = bench.get(f"/jobs/{job}/refit.pdf").data
    for colour in ("red", "green", "blue"):
        bench.act(job, "picture", position="P1", photos=[kept(bench, colour)], words=colour)
    bench.act(job, "picture", position="P3", when="after", photos=[kept(bench, "black")])

    shown = bench.get(f"/jobs/{job}/refit.pdf").data

    assert (plain.count(b"/Subtype /Image"), shown.count(b"/Subtype /Image")) == (0, 2)
    assert bench.get(f"/jobs/{job}/refit.pdf").data == shown


def test_what_is_kept_of_photos_is_held_against_the_acts(bench: HttpBench, job: str) -> None:
    service = bench.ledger.service
    bench.act(job, "picture", position="P1", photos=[kept(bench, "red")])
    assert upkeep.check(service).faults == ()

    with service.database.writing() as db:
        db.execute("UPDATE photo_of SET position = 'P2'")

    (fault,) = upkeep.check(service).faults
    assert "photos" in fault.says


@pytest.mark.parametrize("path", ["/photos", "/tags/read"])
@pytest.mark.parametrize(
    ("data", "kind", "words"),
    [
        (bomb_png(), "image/png", "million pixels"),
        (saved("red")[:700], "image/jpeg", "not a whole JPEG"),
        (saved("red", "TIFF"), "image/jpeg", "not a whole JPEG"),
        (b"", "image/jpeg", "not a whole JPEG"),
    ],
    ids=["bomb", "cut short", "another kind under a false name", "nothing"],
)
def test_what_is_no_whole_picture_is_refused_in_words(
    bench: HttpBench, path: str, data: bytes, kind: str, words: str
) -> None:
    refused = problem(send(bench, path, data, kind))

    assert (refused["status"], refused["field"]) == (422, "photo")
    assert words in refused["detail"]


@pytest.mark.parametrize("path", ["/photos", "/tags/read"])
def test_a_kind_of_file_that_is_no_photo_is_refused_unread(bench: HttpBench, path: str) -> None:
    refused = problem(send(bench, path, saved("red", "TIFF"), "image/tiff"))

    assert refused["status"] == 415


def test_where_a_photo_was_taken_is_gone_from_what_is_kept(bench: HttpBench) -> None:
    exif = Image.Exif()
    exif[0x010F] = "camera-of-someone"
    exif[GPS] = {1: "N", 2: (52.0, 31.0, 12.0), 3: "E", 4: (13.0, 24.0, 18.0)}
    sent = saved("red", exif=exif)
    assert dict(Image.open(BytesIO(sent)).getexif().get_ifd(GPS)) != {}

    digest = send(bench, "/photos", sent).json["hash"]
    got = bench.get(f"/photos/{digest}.jpg").data

    assert dict(Image.open(BytesIO(got)).getexif()) == {}
    assert (b"Exif" in got, b"camera-of-someone" in got) == (False, False)
