"""Addresses of how a job ended that was not released."""

from __future__ import annotations

from flask import Response

from partsvc.api.files import PDF, file, rather
from partsvc.api.room import Room
from partsvc.domain.acts.kinds import ALL
from partsvc.web.running import service
from partsvc.work import papers
from partsvc.work.handing_over import HandOverRecord, hand_over_record

room = Room("endings", __name__, description="Jobs that ended incomplete, and what went along.")


@room.at("GET", "/jobs/<job>/hand-over", roles=ALL, gives=HandOverRecord, also=PDF)
def get_hand_over(job: str) -> HandOverRecord | Response:
    """Read how a job was handed over: what was open, and what went along in which bag"""
    return get_hand_over_paper(job) if rather(PDF) else hand_over_record(service(), job)


@room.at("GET", "/jobs/<job>/hand-over.pdf", roles=ALL, gives=PDF)
def get_hand_over_paper(job: str) -> Response:
    """Print the hand-over of an incomplete job"""
    return file(papers.hand_over_pdf(service(), job), PDF, name="hand-over.pdf")
