"""The checker's pages: the account of a job, the trail of a piece, holds, release, record."""

from __future__ import annotations

from flask import Response, redirect, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom, visitor
from partsvc.web.running import service
from partsvc.work import trail
from partsvc.work.check_holds import holds_of_job
from partsvc.work.check_record import job_record, verified
from partsvc.work.check_release import release_check
from partsvc.work.checking import job_check
from partsvc.work.pictures import pictures_of_pieces
from partsvc.work.places_to_follow import places_to_follow

room = PageRoom("check", __name__)


@room.page("/check/<job>")
def account(job: str) -> Response:
    """The account at a glance: two lines, and what is open by how grave it is."""
    found = job_check(service(), job)
    return shown("check_account.html", job=found.account.job, check=found)


@room.page("/check/<job>/trail")
def places(job: str) -> AnyResponse:
    """Where a trail begins: what was looked for, or every position by zone."""
    found = places_to_follow(service(), job, request.args.get("find", "")[:120])
    if found.goes is not None:
        kind, name = found.goes
        return redirect(url_for(f"check.trail_of_{kind}", job=job, name=name))
    return shown("check_trail.html", job=found.job, found=found)


@room.page("/check/<job>/trail/position/<name>")
def trail_of_position(job: str, name: str) -> Response:
    """From a position through bags to where its pieces are now."""
    found = trail.position_trail(service(), job, name)
    pictures = pictures_of_pieces(service(), job, {name}, most=2)
    return shown("check_trail_of.html", job=found.job, trail=found, pictures=pictures)


@room.page("/check/<job>/trail/bag/<name>")
def trail_of_bag(job: str, name: str) -> Response:
    """What went into a bag and out of it."""
    found = trail.bag_trail(service(), job, name)
    return shown("check_trail_of.html", job=found.job, trail=found)


@room.page("/check/<job>/trail/part/<path:name>")
def trail_of_part(job: str, name: str) -> Response:
    """Where all pieces of a part went."""
    found = trail.part_trail(service(), job, name)
    return shown("check_trail_of.html", job=found.job, trail=found)


@room.page("/check/<job>/holds")
def holds(job: str) -> Response:
    """Every hold point with its readings against their limits."""
    found = holds_of_job(service(), job)
    return shown("check_holds.html", job=found.job, found=found)


@room.page("/check/<job>/release")
def release(job: str) -> AnyResponse:
    """What stands between the job and its release; the address says as of which act one looks."""
    looked = request.args.get("looked", type=int)
    found = release_check(service(), job, visitor().session.person, looked)
    if looked is None:
        return redirect(url_for("check.release", job=job, looked=found.looked_seq))
    return shown("check_release.html", job=found.account.job, check=found)


@room.page("/check/<job>/record")
def record(job: str) -> Response:
    """People, refused acts, custody, the vehicle's record, and the ledger to take along."""
    found = job_record(service(), job)
    proof = verified(service(), job) if request.args.get("verify") else None
    return shown("check_record.html", job=found.job, record=found, proof=proof)
