"""The newest act of each account: what an open page needs to know that it is out of date."""

from __future__ import annotations

from collections.abc import Mapping

from partsvc.store import acts
from partsvc.work.service import Service


def heads(service: Service) -> Mapping[str, int]:
    """The number of the newest act, by account."""
    with service.database.reading() as db:
        return acts.heads(db, service.site)
