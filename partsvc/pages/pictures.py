"""A job in pictures: its photos with what is where, how far it is, and its days."""

from __future__ import annotations

from dataclasses import asdict

from flask import Response, request

from partsvc.domain.timeline import Sort
from partsvc.domain.zone_progress import PiecesNow
from partsvc.pages.drawing import stretches
from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom
from partsvc.web.running import service
from partsvc.work.picture_board import picture_board, tapping_bench
from partsvc.work.timeline import SLOTS, timeline_of

room = PageRoom("pictures", __name__)

# Of a bar 1000 wide: what is there at all is seen.
_BAR, _LEAST = 1000, 14
# The stretches of a bar from left to right, with the marks that say the same in shape and word.
BARS = (
    ("secured_again", "secured"),
    ("loose", "loose"),
    ("off", "off-pieces"),
    ("missing", "missing"),
    ("still_on", "never-off"),
)

# What somebody who comes after wants to know of a day at once.
WATCHED = (Sort.REFUSED, Sort.UNDONE, Sort.HOLD, Sort.AWAY, Sort.HAND_OVER)
MOST_DAYS = 45


@room.page("/pictures/<job>")
def board(job: str) -> Response:
    """How far the job is, and its photos by step."""
    found = picture_board(service(), job)
    bars = {zone.zone: bar_of(zone.now) for zone in found.zones}
    return shown(
        "pictures.html", job=found.job, board=found, bars=bars, whole=bar_of(found.now), kinds=BARS
    )


@room.page("/pictures/<job>/spots/<step>")
def tapping(job: str, step: str) -> Response:
    """One photo of a step, to tap on."""
    found = tapping_bench(service(), job, step, photo=request.args.get("photo", ""))
    marks = found.chosen.marks if found.chosen else ()
    return shown(
        "pictures_spots.html",
        job=found.job,
        bench=found,
        places=[asdict(place) for place in found.places],
        spots=[
            {"x": mark.x_permille, "y": mark.y_permille, "place": mark.position} for mark in marks
        ],
    )


@room.page("/pictures/<job>/timeline")
def timeline(job: str) -> Response:
    """The job day by day."""
    first = request.args.get("first", "0")
    found = timeline_of(
        service(),
        job,
        day=request.args.get("day", ""),
        first=int(first) if first.isdecimal() and len(first) < 7 else 0,
    )
    return shown(
        "pictures_timeline.html",
        job=found.job,
        told=found,
        slots=SLOTS,
        sorts=tuple(Sort),
        watched=WATCHED,
        most_days=MOST_DAYS,
    )


def bar_of(now: PiecesNow) -> list[tuple[str, int, int]]:
    """The stretches of the bar that are there: the member each stands for, its start, its width."""
    shares = [getattr(now, name) for name, _ in BARS]
    found = stretches(shares, width=_BAR, least=_LEAST)
    return [
        (name, start, width) for (name, _), (start, width) in zip(BARS, found, strict=True) if width
    ]
