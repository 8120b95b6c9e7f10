"""The pages that everybody meets first: signing in, the jobs, one's own settings."""

from __future__ import annotations

from flask import Response, redirect, request
from werkzeug.wrappers import Response as AnyResponse

from partsvc.domain.records import decode
from partsvc.domain.units import Units
from partsvc.errors import NotSignedIn
from partsvc.pages.cookie import hand_out, take_back, token_of_page
from partsvc.pages.drawing import stretches
from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom, visitor
from partsvc.pages.words import LANGUAGES
from partsvc.web.running import running, service
from partsvc.work import jobs, signing_in
from partsvc.work.in_place import in_place_by_job
from partsvc.work.jobs import JobsWanted
from partsvc.work.preferences import Preferences, prefer
from partsvc.work.signing_in import A_SHIFT, SignIn

room = PageRoom("front", __name__)

DEVICE = "partsvc-device"
_A_YEAR = 365 * 24 * 3600


@room.page("/")
def home() -> Response:
    """The jobs, newest first."""
    found = in_place_by_job(service())
    return shown(
        "home.html",
        jobs=jobs.page(service(), JobsWanted(limit=100)).jobs,
        in_place=found,
        bars={
            job: stretches((now.secured, now.loose, now.off), width=1000, least=14)
            for job, now in found.items()
        },
    )


@room.page("/sign-in", roles=None, methods=("GET", "POST"))
def sign_in() -> AnyResponse:
    """A name and a password, once a shift."""
    if request.method == "GET":
        return _asked(request.args.get("next", "/"))
    to = request.form.get("next", "/")
    wait = running().sign_ins.seconds_to_wait(request.remote_addr or "", service().now())
    if wait:
        fault = f"Too many tries. Wait {wait} seconds, then try again."
        return _asked(to, fault=fault, status=429)
    try:
        sent = {name: request.form.get(name, "").strip() for name in ("login", "device")}
        given = {**sent, "password": request.form.get("password", "")}
        token = signing_in.sign_in(
            service(), decode(SignIn, {name: one for name, one in given.items() if one})
        )
    except (NotSignedIn, ValueError):
        fault = "This name and password do not belong together. Try again."
        return _asked(to, fault=fault, status=401)
    response = redirect(_own(to))
    hand_out(response, token.token, seconds=int(A_SHIFT.total_seconds()))
    response.set_cookie(DEVICE, sent["device"], max_age=_A_YEAR, httponly=True, samesite="Lax")
    return response


def _asked(to: str, *, fault: str = "", status: int = 200) -> Response:
    return shown(
        "sign_in.html",
        next=_own(to),
        fault=fault,
        login=request.form.get("login", ""),
        device=request.form.get("device", request.cookies.get(DEVICE, "")),
        status=status,
    )


def _own(to: str) -> str:
    """Where to go on: an address of this service only."""
    inside = to.startswith("/") and not to.startswith(("//", "/\\"))
    return to if inside and not set(to) & set("\\\r\n\t") else "/"


@room.page("/sign-out", roles=None, methods=("POST",))
def sign_out() -> AnyResponse:
    """The browser is signed out; what waits on the device stays there."""
    token = token_of_page()
    if token:
        signing_in.sign_out(service(), token)
    response = redirect("/sign-in")
    take_back(response)
    return response


@room.page("/me", methods=("GET", "POST"))
def me() -> AnyResponse:
    """Language and units, as each person wants them."""
    if request.method == "POST":
        language = request.form.get("language", "")
        chosen = Preferences(
            language=language if language in LANGUAGES else "",
            units=Units.BOTH if request.form.get("units") == "both" else Units.METRIC,
        )
        with service().database.writing() as db:
            prefer(service(), db, visitor().session.person, chosen)
        return redirect("/me")
    return shown("me.html")
