"""Whether one person may do what otherwise takes two: the lead permits it, and says why.

Never for high voltage, whatever stands here; that rule is the acts' own.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.records import Says, Words
from partsvc.store import permits
from partsvc.work.service import Sender, Service


@dataclass(frozen=True, slots=True, kw_only=True)
class AlonePermit:
    """Whether somebody may work alone here, and why."""

    permitted: bool
    reason: Annotated[Words, Says("why it is permitted, or why no longer; kept for ever")]


@dataclass(frozen=True, slots=True, kw_only=True)
class AlonePermitShown:
    """Whether somebody may work alone here now; version 0 was said by nobody."""

    permitted: bool
    reason: str
    given_by: str
    given_at: str
    version: int


def permit(service: Service, db: sqlite3.Connection) -> AlonePermitShown:
    """The permit as it stands; nobody may work alone until the lead says so."""
    row = permits.alone_permit(db, service.site)
    if row is None:
        return AlonePermitShown(permitted=False, reason="", given_by="", given_at="", version=0)
    return AlonePermitShown(
        permitted=bool(row["permitted"]),
        reason=row["reason"],
        given_by=row["given_by"],
        given_at=row["given_at"],
        version=row["version"],
    )


def is_permitted(service: Service, db: sqlite3.Connection) -> bool:
    """Whether somebody may work alone here now."""
    return permit(service, db).permitted


def put(
    service: Service,
    db: sqlite3.Connection,
    sender: Sender,
    found: AlonePermitShown,
    given: AlonePermit,
) -> AlonePermitShown:
    """Permit it or no longer; what was said before stays on record."""
    permits.add_alone_permit(
        db,
        service.site,
        version=found.version + 1,
        permitted=given.permitted,
        reason=given.reason,
        by=sender.person,
        at=service.stamp(),
    )
    return permit(service, db)
