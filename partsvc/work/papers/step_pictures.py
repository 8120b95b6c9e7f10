"""The photos that a checklist shows at each step: how it was before anything was taken off."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Mapping

from labels.paper import Picture
from partsvc.domain.photo_subjects import words_of
from partsvc.domain.refit_list import RefitList
from partsvc.store import photos
from partsvc.store.database import Row
from partsvc.work.service import Service

MOST_A_STEP = 2


def step_pictures(service: Service, checklist: RefitList) -> Mapping[str, tuple[Picture, ...]]:
    """For each step the newest photos of how it was before, at most two."""
    where = {line.id: line.where for step in checklist.steps for line in step.positions}
    with service.database.reading() as db:
        chosen = _newest(photos.before(db, service.site, checklist.job.id))
        kept = photos.jpegs(
            db, service.site, (row["hash"] for own in chosen.values() for row in own)
        )
    return {
        step: tuple(Picture(kept[row["hash"]], _words(row, where)) for row in own)
        for step, own in chosen.items()
    }


def _newest(rows: list[Row]) -> dict[str, list[Row]]:
    """The first rows of each step, each photo once."""
    chosen: dict[str, dict[str, Row]] = defaultdict(dict)
    for row in rows:
        own = chosen[row["step"]]
        if len(own) < MOST_A_STEP:
            own.setdefault(row["hash"], row)
    return {step: list(own.values()) for step, own in chosen.items()}


def _words(row: Row, where: Mapping[str, str]) -> str:
    place = where.get(row["position"], "")
    return ": ".join(
        filter(None, (f"Before, {place}" if place else "Before", words_of(json.loads(row["text"]))))
    )
