"""Pages that open with no line: the worker that keeps them, and how devices come to trust it.

Browsers let pages be kept, and the camera be used, only at an address they trust: over TLS with a
certificate that leads to an authority the device knows. On plain http an open page goes on working
and keeps its acts, but is not opened anew until the line is back.
"""

from __future__ import annotations

import json

from flask import Response, abort, send_file
from werkzeug.wrappers import Response as AnyResponse

from partsvc.pages.render import STATIC, digest_of_static, shown
from partsvc.pages.room import PageRoom
from partsvc.web.running import running

room = PageRoom("offline", __name__)


@room.page("/sw.js", roles=None)
def worker() -> Response:
    """The worker that keeps pages; it changes, and is fetched anew, when any file does."""
    version = digest_of_static()
    files = [
        f"/static/{version}/{path.relative_to(STATIC).as_posix()}"
        for path in sorted(STATIC.rglob("*"))
        if path.is_file() and path.name != "worker.js"
    ]
    begun = f"const VERSION = {json.dumps(version)};\nconst FILES = {json.dumps(files)};\n"
    text = begun + (STATIC / "worker.js").read_text("utf-8")
    answer = Response(text, mimetype="text/javascript")
    answer.headers["Cache-Control"] = "no-cache"
    return answer


@room.page("/offline", roles=None)
def offline() -> Response:
    """What stands where a page was never opened on this device before."""
    return shown("offline.html")


@room.page("/trust", roles=None)
def trust() -> Response:
    """How a phone or tablet comes to trust this service."""
    return shown("trust.html", authority=running().settings.authority is not None)


@room.page("/trust/authority.pem", roles=None)
def authority() -> AnyResponse:
    """The certificate that a device is to trust."""
    path = running().settings.authority
    if path is None:
        abort(404)
    return send_file(
        path.resolve(),
        mimetype="application/x-x509-ca-cert",
        as_attachment=True,
        download_name="partsvc-authority.pem",
    )
