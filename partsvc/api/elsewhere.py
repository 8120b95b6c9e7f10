"""Addresses of what is not in any bag of a job: out of the house, or on the floor of the bay."""

from __future__ import annotations

from partsvc.api.room import Room
from partsvc.domain.acts.kinds import ALL
from partsvc.web.running import service
from partsvc.work.away_list import AwayShown, away
from partsvc.work.bay import StraysShown, strays

room = Room("elsewhere", __name__, description="What is out of the house, and strays of the bay.")


@room.at("GET", "/away", roles=ALL, gives=AwayShown)
def get_away() -> AwayShown:
    """List what is out of the house over all jobs: overdue first, then by the day it is due"""
    return away(service())


@room.at("GET", "/strays", roles=ALL, gives=StraysShown)
def get_strays() -> StraysShown:
    """List the strays of the bay, each with the places of all jobs it could be missing from

    Held against all open jobs and those released in the last 30 days.
    """
    return strays(service())
