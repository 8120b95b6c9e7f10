"""The bench: one job, one thing at a time; scan anything, tap once."""

from __future__ import annotations

import json
from collections.abc import Mapping

from flask import Response
from markupsafe import Markup

from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom
from partsvc.web.running import service
from partsvc.work.bench import TagAtHand, strip_bench

room = PageRoom("bench", __name__)


@room.page("/bench/<job>")
def strip(job: str) -> Response:
    """Taking apart."""
    found = strip_bench(service(), job)
    return shown(
        "bench_strip.html",
        job=found.work.job,
        work=found.work,
        asks=found.asks,
        people=found.people,
        remarks=found.remarks,
        pictures=found.pictures,
        tags=at_hand(found.tags),
    )


def at_hand(tags: Mapping[str, TagAtHand]) -> Markup:
    """The tags as the page's scripts know them by heart."""
    plain = {
        code: {
            "is": tag.is_for,
            **({"words": tag.words} if tag.words else {}),
            **({"pieces": tag.pieces} if tag.pieces else {}),
            **({"steps": tag.steps} if tag.steps else {}),
            **({"home": tag.home} if tag.home else {}),
            **({"person": tag.person, "name": tag.name} if tag.person else {}),
        }
        for code, tag in tags.items()
    }
    text = json.dumps(plain, ensure_ascii=False, separators=(",", ":"))
    # Nothing of a name may end the element it stands in.
    return Markup(text.replace("<", "\\u003c"))
