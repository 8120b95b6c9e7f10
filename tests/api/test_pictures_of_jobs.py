"""The pictures of a job through the API: what is where, how far it is, and what cannot be."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import pytest
from http_bench import HttpBench
from ledger_bench import position, step
from PIL import Image


@pytest.fixture
def job(bench: HttpBench) -> str:
    return bench.open_job(
        step(
            "S1", 10, position("P1", {"part": "B"}, sets=2), position("P2", {"part": "C"}, sets=1)
        ),
        step("S2", 20, position("P3", {"part": "E"}, sets=1)),
    )


def kept(bench: HttpBench, colour: str = "gray") -> str:
    out = BytesIO()
    Image.new("RGB", (64, 48), colour).save(out, "JPEG")
    found = bench.send("POST", "/photos", data=out.getvalue(), content_type="image/jpeg")
    assert found.json is not None
    return str(found.json["hash"])


def spot(x: int, y: int, at: str = "P1") -> dict[str, Any]:
    return {"x_permille": x, "y_permille": y, "position": at}


def test_a_picture_tells_what_is_where_and_how_far(bench: HttpBench, job: str) -> None:
    photo = kept(bench)
    bench.act(job, "picture", step="S1", photos=[photo], words="the tray")
    bench.act(
        job, "spots", "mate", step="S1", photo=photo, spots=[spot(10, 990), spot(500, 1, "P2")]
    )
    bench.remove(job, "P1", bench.tags[0], sets=1)

    (one,) = bench.look(f"/jobs/{job}/pictures")["pictures"]

    assert (one["hash"], one["by"], one["spots_by"], one["words"], one["shows"], one["steps"]) == (
        photo, "tech", "mate", "the tray", "before", ["S1"],
    )  # fmt: skip
    first, second = one["marks"]
    assert (first["order"], first["x_permille"], first["y_permille"]) == (1, 10, 990)
    assert (first["state"], first["pieces"], first["secured"], first["off"]) == ("off", 2, 1, 1)
    assert (second["order"], second["where"], second["state"]) == (2, "at P2", "secured")


def test_the_newest_come_first_and_only_so_many(bench: HttpBench, job: str) -> None:
    photos = [kept(bench, colour) for colour in ("red", "green", "blue")]
    for photo, at in zip(photos, ("S1", "S2", "S1"), strict=True):
        bench.act(job, "picture", step=at, photos=[photo])

    def hashes(asked: str) -> list[str]:
        return [one["hash"] for one in bench.look(f"/jobs/{job}/pictures{asked}")["pictures"]]

    assert hashes("") == photos[::-1]
    assert hashes("?limit=1") == photos[2:]
    assert hashes("?step=S2") == [photos[1]]
    assert bench.get(f"/jobs/{job}/pictures?limit=0").status_code == 422
    assert bench.get("/jobs/nowhere/pictures").status_code == 404


def test_a_photo_that_never_came_is_not_shown(bench: HttpBench, job: str) -> None:
    bench.act(job, "spots", step="S1", photos=["ab" * 32], spots=[spot(1, 1)])

    assert bench.look(f"/jobs/{job}/pictures")["pictures"] == []


def test_the_photo_of_an_act_that_was_undone_is_not_shown(bench: HttpBench, job: str) -> None:
    act = bench.act(job, "spots", step="S1", photos=[kept(bench)], spots=[spot(1, 1)])
    bench.act(job, "reverse", act=act["key"], reason="the wrong step")

    assert bench.look(f"/jobs/{job}/pictures")["pictures"] == []


@pytest.mark.parametrize(
    ("members", "status", "field"),
    [
        ({"spots": [spot(1, 1)]}, 422, "photo"),
        ({"photos": ["ab" * 32], "spots": [{"x_permille": 1, "y_permille": 1}]}, 422, "spots[1]"),
        ({"photos": ["ab" * 32], "spots": [spot(-1, 1)]}, 422, "spots[1].x_permille"),
        ({"photos": ["ab" * 32], "spots": [spot(1, 1)] * 61}, 422, "spots"),
        ({"photo": "cd" * 32, "spots": [spot(1, 1)]}, 404, None),
        ({"photos": ["ab" * 32], "spots": [spot(1, 1, "P9")]}, 404, None),
    ],
)
def test_what_cannot_be_says_what_to_do(
    bench: HttpBench, job: str, members: Any, status: int, field: str | None
) -> None:
    refused = bench.refused(job, "spots", step="S1", **members)

    assert (refused["status"], refused.get("field")) == (status, field)
