"""The photos that a checklist shows at each step: how it was before anything was taken off."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Mapping

from labels.paper import Picture, PictureMark
from partsvc.domain.job_state import fold
from partsvc.domain.photo_spots import PhotoSpot, SpottedPhoto, spotted_photos
from partsvc.domain.photo_subjects import words_of
from partsvc.domain.refit_list import RefitList, RefitPosition
from partsvc.store import acts as act_store
from partsvc.store import photos
from partsvc.store.database import Row
from partsvc.work.service import Service

MOST_A_STEP = 2
ORDER = "Numbers: the order of tightening, as tapped. Where the maker gives one, that one holds."


def step_pictures(service: Service, checklist: RefitList) -> Mapping[str, tuple[Picture, ...]]:
    """For each step two photos of how it was before: those with spots first, then the newest."""
    lines = {line.id: line for step in checklist.steps for line in step.positions}
    home = {line.id: step.id for step in checklist.steps for line in step.positions}
    with service.database.reading() as db:
        happened = act_store.effects_of_kind(db, service.site, checklist.job.id, ("spots-tapped",))
        told = spotted_photos(fold(happened))
        chosen = _chosen(photos.before(db, service.site, checklist.job.id), told, home)
        kept = photos.jpegs(
            db, service.site, (row["hash"] for own in chosen.values() for row in own)
        )
    return {
        step: tuple(_picture(row, kept[row["hash"]], lines, told.get(row["hash"])) for row in own)
        for step, own in chosen.items()
    }


def _chosen(
    rows: list[Row], told: Mapping[str, SpottedPhoto], home: Mapping[str, str]
) -> dict[str, list[Row]]:
    """The first rows of each step, each photo once; a photo is of every step tapped on it."""
    chosen: dict[str, dict[str, Row]] = defaultdict(dict)
    for row in sorted(rows, key=lambda row: not _spots(row, told)):
        steps = [row["step"], *(home.get(one.position, "") for one in _spots(row, told))]
        for step in dict.fromkeys(filter(None, steps)):
            own = chosen[step]
            if len(own) < MOST_A_STEP:
                own.setdefault(row["hash"], row)
    return {step: list(own.values()) for step, own in chosen.items()}


def _spots(row: Row, told: Mapping[str, SpottedPhoto]) -> tuple[PhotoSpot, ...]:
    found = told.get(row["hash"])
    return found.spots if found else ()


def _picture(
    row: Row, jpeg: bytes, lines: Mapping[str, RefitPosition], told: SpottedPhoto | None
) -> Picture:
    """A photo, its marks, and beneath it what they are: numbers alone tell a stranger nothing."""
    line = lines.get(row["position"])
    if told is None or not told.spots:
        return Picture(jpeg, _words(row, line))
    marks: list[PictureMark] = []
    numbers: dict[str, list[str]] = defaultdict(list)
    for order, spot in enumerate(told.spots, start=1):
        there = lines.get(spot.position)
        if there is None:
            continue
        numbers[there.id].append(str(order))
        marks.append(PictureMark(spot.x_permille, spot.y_permille, str(order), done=there.tick))
    if not marks:
        return Picture(jpeg, _words(row, line))
    what = [f"{', '.join(own)}: {lines[name].where}" for name, own in numbers.items()]
    dark = "Dark: secured when this was printed." if any(one.done for one in marks) else ""
    return Picture(
        jpeg, "\n".join(filter(None, (_words(row, None), *what, ORDER, dark))), tuple(marks)
    )


def _words(row: Row, line: RefitPosition | None) -> str:
    """Before, where, and what was written beside it."""
    said = words_of(json.loads(row["text"]))
    return ": ".join(filter(None, (f"Before, {line.where}" if line else "Before", said)))
