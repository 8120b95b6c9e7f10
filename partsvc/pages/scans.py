"""What an open page asks: what a tag means that it does not know, how a sentence is said."""

from __future__ import annotations

from flask import jsonify, request
from werkzeug.wrappers import Response

from partsvc.domain.tag_look import TagView
from partsvc.errors import PartsvcError
from partsvc.pages.room import PageRoom
from partsvc.pages.sentences import said
from partsvc.web.running import service
from partsvc.work.tag_view import tag_view

room = PageRoom("scans", __name__)

# A refusal with its title, or an act with its warnings.
MOST_SENTENCES = 20
LONGEST = 2000


@room.page("/scan")
def scan() -> Response:
    """What a tag is on, and what to do with it; 404 with the reason for what is no tag."""
    try:
        found = tag_view(service(), request.args.get("text", ""))
    except PartsvcError as odd:
        answer = jsonify({"detail": odd.detail})
        answer.status_code = 404
        return answer
    return jsonify(
        {
            "code": found.code,
            "shown": found.shown,
            "is": _is_for(found, request.args.get("job", "")),
            "words": _words(found),
            "pieces": sum(one.quantity for one in found.contents),
            "steps": sorted({one.step for one in found.contents if one.step}),
            "person": found.person,
            "name": found.name,
            "job": found.job.id if found.job else "",
            "job_number": found.job.number if found.job else 0,
        }
    )


@room.page("/said")
def in_words() -> Response:
    """Sentences of the service in the reader's language, for what a script has to show."""
    texts = request.args.getlist("text")[:MOST_SENTENCES]
    return jsonify([said(one[:LONGEST]).striptags() for one in texts])


def _is_for(found: TagView, job: str) -> str:
    if found.void:
        return "void"
    if found.person:
        return "badge"
    if found.kind == "rack":
        return "place"
    if found.job is None:
        return "blank"
    return "bag" if found.job.id == job else "other-job"


def _words(found: TagView) -> str:
    held = ", ".join(f"{one.quantity} {one.called}" for one in found.contents)
    return held or found.words or found.next
