"""Addresses of bags as they stand about, and of what is asked before a job is released."""

from __future__ import annotations

from partsvc.api.room import Room
from partsvc.domain.acts.kinds import ALL
from partsvc.domain.open_bags import OpenBags
from partsvc.domain.release_questions import ReleaseQuestions
from partsvc.web.running import service
from partsvc.work.open_bags import open_bags
from partsvc.work.release_questions import release_questions

room = Room("bags", __name__, description="Open bags, boards, and what a releaser is asked.")


@room.at("GET", "/jobs/<job>/bags", roles=ALL, gives=OpenBags)
def get_open_bags(job: str) -> OpenBags:
    """List the open bags of a job: contents, last place, last touched

    For a bag whose tag is lost or soaked: find the one that is like it, count what is in it, and
    record `retag`.
    """
    return open_bags(service(), job)


@room.at("GET", "/jobs/<job>/release-questions", roles=ALL, gives=ReleaseQuestions)
def get_release_questions(job: str) -> ReleaseQuestions:
    """Read what a releaser is asked, with this job's own reminders"""
    return release_questions(service(), job)
