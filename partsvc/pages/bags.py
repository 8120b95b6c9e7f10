"""The bags of a job: what is where, counted blind, seen empty by one photo, stowed, tagged anew."""

from __future__ import annotations

from flask import Response

from partsvc.domain.open_bags import OpenBag
from partsvc.pages.bench import at_hand
from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom
from partsvc.web.running import service
from partsvc.work.bags_bench import bags_bench

room = PageRoom("bench-bags", __name__)


@room.page("/bench/<job>/bags")
def bags(job: str) -> Response:
    """All bags of a job."""
    found = bags_bench(service(), job)
    zones = sorted({zone for one in found.zones.values() for zone in one})
    return shown(
        "bench_bags.html",
        job=found.bags.job,
        bags=found.bags.bags,
        in_doubt=found.bags.in_doubt,
        found=found,
        zones=zones,
        parts_in=parts_in,
        tags=at_hand(found.tags),
    )


def parts_in(bag: OpenBag) -> list[tuple[str, str]]:
    """Each part in a bag once: its number, and what it is called; how many is not said here."""
    return list({one.part: one.called for one in bag.contents}.items())
