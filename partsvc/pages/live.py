"""Tells open pages that something was recorded, within a second or two (server-sent events).

A page needs no more than the number of the newest act of its job: it then fetches itself anew. One
look at the heads serves all listeners; each listener costs a thread, so there are only so many,
and who gets none asks every two seconds instead.
"""

from __future__ import annotations

import json
import time
from collections.abc import Iterator, Mapping

from flask import Response, request

from partsvc.errors import Busy
from partsvc.pages.room import PageRoom
from partsvc.web.live import LOOK_EVERY_S, Heads
from partsvc.web.running import running, service
from partsvc.work.service import Service

room = PageRoom("live", __name__)

# Who has gone is noticed only by telling them something: a page left frees its place this soon.
BEAT_EVERY_S = 2.0
# A listener is let go after this long, and comes again by itself: nobody holds a thread for ever.
AT_MOST_S = 240.0


@room.page("/live/now")
def now() -> Response:
    """The newest act of the job and of the workshop, for who cannot listen."""
    return Response(_told(running().heads.now(service()), request.args.get("job", "")),
                    mimetype="application/json", headers={"Cache-Control": "no-store"})  # fmt: skip


@room.page("/live")
def live() -> Response:
    """The same, each time it changes."""
    if request.method == "HEAD":
        return Response(mimetype="text/event-stream")
    if not running().listeners.come():
        raise Busy("Many devices listen already. This one asks now and then instead.")
    answer = Response(
        _events(service(), running().heads, request.args.get("job", "")),
        mimetype="text/event-stream",
    )
    answer.headers["Cache-Control"] = "no-store"
    answer.headers["X-Accel-Buffering"] = "no"
    # Also when nothing was ever read from it.
    answer.call_on_close(running().listeners.go)
    return answer


def _events(service: Service, heads: Heads, job: str) -> Iterator[bytes]:
    yield b"retry: 2000\n\n"
    began = beat = time.monotonic()
    before = ""
    while time.monotonic() - began < AT_MOST_S:
        found = _told(heads.now(service), job)
        if found != before:
            before, beat = found, time.monotonic()
            yield f"event: heads\ndata: {found}\n\n".encode()
        elif time.monotonic() - beat > BEAT_EVERY_S:
            beat = time.monotonic()
            yield b": still here\n\n"
        time.sleep(LOOK_EVERY_S)


def _told(found: Mapping[str, int], job: str) -> str:
    return json.dumps({"job": found.get(job, 0), "all": sum(found.values())})
