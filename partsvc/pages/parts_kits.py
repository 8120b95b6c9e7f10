"""Kits: what the refit needs is issued into a bag, and the bag gets its tag; what comes back."""

from __future__ import annotations

import sqlite3

from flask import Response, request
from werkzeug.wrappers import Response as AnyResponse

from partsvc.domain.acts.codes import read_code
from partsvc.domain.acts.kinds import SUPPLY
from partsvc.domain.desk import shown_bag
from partsvc.errors import PartsvcError
from partsvc.pages.bench import at_hand
from partsvc.pages.filled_in import carried_out
from partsvc.pages.parts_desk import part_numbers
from partsvc.pages.printing import usual_printer
from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom
from partsvc.web.running import service
from partsvc.work import tagging
from partsvc.work.bench import strip_bench
from partsvc.work.kit_bench import kit_bench
from partsvc.work.tagging import NewTags, PrintedUse

room = PageRoom("parts_kits", __name__)


@room.page("/parts/kits/<job>", roles=SUPPLY)
def kits(job: str) -> Response:
    """The kits of a job: what is still to be issued, what is in each bag."""
    return _kits(job)


def _kits(job: str, *, fault: str = "", status: int = 200) -> Response:
    found = kit_bench(service(), job)
    return shown(
        "parts_kits.html",
        job=found.job,
        bench=found,
        bag=_asked("bag"),
        old=_asked("old") or next((one.shown for one in found.old_parts), ""),
        tags=at_hand(strip_bench(service(), job).tags),
        numbers=part_numbers(),
        printer=usual_printer(),
        fault=fault,
        typed=request.form,
        status=status,
    )


def _asked(name: str) -> str:
    """The tag that was chosen on the page, as it is printed; empty for what is no tag."""
    try:
        return shown_bag(read_code(request.args.get(name, "")))
    except PartsvcError:
        return ""


@room.page("/parts/kits/<job>/tag", roles=SUPPLY, methods=("POST",))
def new_tag(job: str) -> AnyResponse:
    """A new tag for a kit or for old parts; the bag is chosen with it."""

    def work(db: sqlite3.Connection) -> str:
        use = PrintedUse.OLD_PARTS if request.form.get("use") == "old-parts" else PrintedUse.KIT
        (tag,) = tagging.mint(service(), db, NewTags(count=1, use=use)).tags
        asked = "old" if use is PrintedUse.OLD_PARTS else "bag"
        return f"/parts/kits/{job}?{asked}={tag.code}"

    return carried_out(work, lambda **told: _kits(job, **told))
