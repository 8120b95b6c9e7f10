"""A photo of bags: which stand there, which are missing, which are strangers, which are empty."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import pytest
from http_bench import HttpBench
from ledger_bench import position, step
from PIL import Image

from labels.draw_png import png
from labels.stock import load
from labels.tag import TagFace

BROWSER = "HTTPS://PARTS.EXAMPLE/T/"


def photo(*payloads: str) -> bytes:
    """A tray with tags on it, as a phone takes it: JPEG, grey bench, a little turned."""
    bench = Image.new("L", (1700, 1250), 150)
    for n, payload in enumerate(payloads):
        code = payload.rpartition("/")[2]
        face = TagFace(code=code, payload=payload if "/" in payload else None, kind="BAG")
        tag = Image.open(BytesIO(png(face, load("single-60x40-203")))).convert("L")
        turned = tag.rotate(4 * n - 6, expand=True, fillcolor=150, resample=Image.BICUBIC)
        bench.paste(turned, (40 + (n % 3) * 550, 40 + (n // 3) * 400))
    out = BytesIO()
    bench.save(out, "JPEG", quality=85)
    return out.getvalue()


def read(bench: HttpBench, body: bytes, **asked: str) -> Any:
    found = bench.send(
        "POST", "/tags/read", "tech", data=body, content_type="image/jpeg", query_string=asked
    )
    assert found.status_code == 200, found.text
    return found.json


@pytest.fixture
def job(bench: HttpBench) -> str:
    job = bench.open_job(
        step("S1", 10, position("P1", {"part": "C"}, sets=2), position("P2", {"part": "B"}, sets=1))
    )
    bench.remove(job, "P1", bench.tags[0])
    bench.remove(job, "P2", bench.tags[1])
    return job


def test_a_tray_is_compared_with_the_job(bench: HttpBench, job: str) -> None:
    other = bench.open_job(step("S1", 10, position("P1", {"part": "C"}, sets=2)))
    bench.remove(other, "P1", bench.tags[2])

    found = read(bench, photo(bench.tags[0], BROWSER + bench.tags[2], bench.tags[3]), job=job)

    assert {one["code"]: one["belongs"] for one in found["tags"]} == {
        bench.tags[0]: "this-job",
        bench.tags[2]: "another-job",
        bench.tags[3]: "blank",
    }
    assert [one["code"] for one in found["missing"]] == [bench.tags[1]]
    assert found["photo"] == ""
    first = next(one for one in found["tags"] if one["code"] == bench.tags[0])
    assert first["pieces"] == 2
    assert (first["x_permille"] // 100, first["y_permille"] // 100) in ((0, 0), (0, 1), (1, 1))


def test_one_photo_of_all_emptied_bags_records_them_as_seen_empty(
    bench: HttpBench, job: str
) -> None:
    bench.secure(job, "P1", bag=bench.tags[0])
    key = bench.ledger.new_key()
    sent: dict[str, Any] = {"data": photo(*bench.tags[:2]), "content_type": "image/jpeg"}

    answer = bench.send("POST", f"/jobs/{job}/emptied/{key}", "tech", **sent)
    again = bench.send("POST", f"/jobs/{job}/emptied/{key}", "tech", **sent)

    assert (answer.status_code, again.status_code) == (201, 200)
    assert answer.json is not None
    effects = [one for one in answer.json["effects"] if one["effect"] == "bag-seen-empty"]
    assert [one["bag"] for one in effects] == [bench.tags[0]]
    assert "not empty by the book" in str(answer.json["warnings"])
    not_seen = bench.look(f"/jobs/{job}/reconciliation")["not_seen"]
    assert bench.tags[0] not in [one["bag"] for one in not_seen]


def test_a_photo_without_an_empty_bag_says_what_the_book_has(bench: HttpBench, job: str) -> None:
    key = bench.ledger.new_key()
    answer = bench.send(
        "POST", f"/jobs/{job}/emptied/{key}", "tech", data=photo(bench.tags[0]),
        content_type="image/jpeg",
    )  # fmt: skip
    assert answer.status_code == 404
    assert "2 pieces" in answer.text


def test_what_is_no_picture_is_refused(bench: HttpBench) -> None:
    wrong = bench.send("POST", "/tags/read", "tech", data=b"GIF89a", content_type="image/gif")
    broken = bench.send("POST", "/tags/read", "tech", data=b"\xff\xd8no", content_type="image/jpeg")
    assert (wrong.status_code, broken.status_code) == (415, 422)


def test_a_symbol_that_is_no_tag_is_told_as_such(bench: HttpBench) -> None:
    found = read(bench, photo("HTTPS://ELSEWHERE.EXAMPLE/7K3M9HWZ"))
    assert [one["belongs"] for one in found["tags"]] in (["unknown"], ["no-tag"])
