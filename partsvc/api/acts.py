"""The addresses of acts: one for everything people do on a job, one for the store's own account."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from flask import Response, jsonify

from partsvc.api.act_document import act_request, plain_address_schema, reference
from partsvc.api.again import REPLAY_HEADER, respond
from partsvc.api.problems import problem, status_of
from partsvc.api.reading import read_object
from partsvc.api.room import PHOTO_BODY, Room, sent_photo
from partsvc.domain.acts.kinds import ALL, JOB, JUDGES, WORKSHOP
from partsvc.domain.records import Plain
from partsvc.errors import Invalid
from partsvc.web.running import sender, service
from partsvc.work.batches import Item, post_batch
from partsvc.work.posting import post
from partsvc.work.tag_photos import record_emptied

room = Room("acts", __name__, description="What people did, recorded in the ledger.")

_PROBLEMS = (400, 401, 403, 404, 409, 412, 413, 415, 422, 503)


def _answers(*, batch: bool) -> dict[int, Any]:
    """What the document says of the answers to acts."""
    one = reference("Recorded")
    again: dict[str, Any] = {"oneOf": [one, reference("BatchAnswered")]} if batch else one
    return {
        201: {
            "description": "The act is recorded, and durable.",
            "content": {"application/json": {"schema": one}},
        },
        200: {
            "description": "It was recorded before"
            + ("; or the answers to a batch, in its order." if batch else "."),
            "content": {"application/json": {"schema": again}},
            "headers": {"Idempotent-Replay": REPLAY_HEADER},
        },
    }


def _take_acts(account: str) -> Response:
    payload = read_object()
    if "acts" in payload and "kind" not in payload:
        return _take_batch(account, payload)
    return _recorded(account, payload)


def _recorded(account: str, payload: dict[str, Plain]) -> Response:
    """201 for a new act; 200 with the same body when its key was here before."""
    answer = post(service(), account, sender(), payload)
    return respond(replace(answer, status=200) if answer.again else answer)


def _take_batch(account: str, payload: dict[str, Any]) -> Response:
    acts = payload["acts"]
    unknown = sorted(set(payload) - {"acts"})
    if unknown:
        raise Invalid(f"`{unknown[0]}` is not known here; send only `acts`.", field=unknown[0])
    if not isinstance(acts, list) or not all(isinstance(one, dict) for one in acts):
        raise Invalid("`acts` must be a list of acts, each an object.", field="acts")
    items = post_batch(service(), account, sender(), acts)
    return jsonify({"acts": [_item(item) for item in items]})


def _item(item: Item) -> dict[str, Any]:
    if item.answer is not None:
        status = 200 if item.answer.again else item.answer.status
        return {"key": item.key, "status": status, "answer": item.answer.body}
    if item.problem is not None:
        found = problem(item.problem)
        return {"key": item.key, "status": status_of(type(item.problem)), "problem": found}
    return {"key": item.key, "status": 424, "held_by": item.held_by}


@room.plain(
    "POST",
    "/jobs/<job>/acts",
    _PROBLEMS,
    roles=ALL,
    requestBody=act_request(JOB),
    answers=_answers(batch=True),
)
def post_acts(job: str) -> Response:
    """Record what was done on a job

    One act, or a batch `{"acts": […]}` of at most 200, recorded in order, each by itself. An act
    that builds on a refused one is held back and not tried; the rest go on. A lost answer is
    mended by sending all again.
    """
    return _take_acts(job)


@room.plain(
    "POST",
    "/workshop/acts",
    _PROBLEMS,
    roles=ALL,
    requestBody=act_request(WORKSHOP),
    answers=_answers(batch=True),
)
def post_workshop_acts() -> Response:
    """Record what was done in the store, or found in the bay"""
    return _take_acts(WORKSHOP)


def _plain_body(kind: str) -> dict[str, Any]:
    schema = plain_address_schema(kind)
    return {"required": True, "content": {"application/json": {"schema": schema}}}


def _take_plain(job: str, kind: str) -> Response:
    payload = read_object()
    if "kind" in payload:
        raise Invalid(f"`kind` is not known here; this address is for “{kind}”.", field="kind")
    return _recorded(job, {**payload, "kind": kind})


@room.plain(
    "POST",
    "/jobs/<job>/release",
    _PROBLEMS,
    roles=JUDGES,
    requestBody=_plain_body("release"),
    answers=_answers(batch=False),
)
def post_release(job: str) -> Response:
    """Release a job

    Names the head its signer looked at; 412 when something was recorded since.
    """
    return _take_plain(job, "release")


@room.plain(
    "POST",
    "/jobs/<job>/reopen",
    _PROBLEMS,
    roles=JUDGES,
    requestBody=_plain_body("reopen"),
    answers=_answers(batch=False),
)
def post_reopen(job: str) -> Response:
    """Open a released job again"""
    return _take_plain(job, "reopen")


@room.plain(
    "POST",
    "/jobs/<job>/emptied/<key>",
    _PROBLEMS,
    roles=ALL,
    takes="photo",
    requestBody=PHOTO_BODY,
    answers=_answers(batch=False),
)
def post_emptied(job: str, key: str) -> Response:
    """Record by one photo that bags are empty

    Every bag of the job on the photo that the book has nothing in is recorded as seen empty, in
    one act under this key, with the photo.
    """
    answer = record_emptied(service(), sender(), job, sent_photo(), key)
    return respond(replace(answer, status=200) if answer.again else answer)
