"""Addresses of what the lead settles for the whole workshop."""

from __future__ import annotations

from partsvc.api.room import Room
from partsvc.domain.acts.kinds import ALL, Role
from partsvc.web.running import sender, service
from partsvc.work import working_alone
from partsvc.work.answers import Writing
from partsvc.work.working_alone import AlonePermit, AlonePermitShown

room = Room("settings", __name__, description="What the lead settles for the whole workshop.")
LEAD = frozenset({Role.LEAD})


@room.at("GET", "/settings/working-alone", roles=ALL, gives=AlonePermitShown, etag=True)
def get_working_alone() -> AlonePermitShown:
    """Read whether one person may do what otherwise takes two, and why"""
    with service().database.reading() as db:
        return working_alone.permit(service(), db)


@room.at(
    "PUT", "/settings/working-alone", roles=LEAD, takes=AlonePermit, gives=AlonePermitShown,
    writes=True, etag=True,
)  # fmt: skip
def put_working_alone(*, db: Writing, given: AlonePermit) -> AlonePermitShown:
    """Permit working alone, or no longer

    It never holds for high voltage. What was done alone is printed large on the release paper.
    """
    found = working_alone.permit(service(), db)
    room.same(found)
    return working_alone.put(service(), db, sender(), found, given)
