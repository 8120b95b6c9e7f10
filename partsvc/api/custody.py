"""The address of who holds what on a job."""

from __future__ import annotations

from partsvc.api.room import Room
from partsvc.domain.acts.kinds import ALL
from partsvc.domain.custody_list import CustodyList
from partsvc.web.running import service
from partsvc.work.custody_view import custody

room = Room("custody", __name__, description="Who holds what, and whose locks are on.")


@room.at("GET", "/jobs/<job>/custody", roles=ALL, gives=CustodyList)
def get_custody(job: str) -> CustodyList:
    """Read who holds what, who is asked to take it over, and whose locks are on"""
    return custody(service(), job)
