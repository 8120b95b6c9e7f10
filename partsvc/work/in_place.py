"""How far every open job is, in one glance: for the list of jobs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from partsvc.store import in_place
from partsvc.work.service import Service


@dataclass(frozen=True, slots=True, kw_only=True)
class InPlace:
    """The pieces of a job that are in place; what stands in a wrong place is counted, too."""

    belongs: int
    secured: int
    loose: int

    @property
    def off(self) -> int:
        """Neither secured nor loose: in bags, with people, away, missing."""
        return self.belongs - self.secured - self.loose


def in_place_by_job(service: Service) -> Mapping[str, InPlace]:
    """Every open job that has pieces, by its id; one query for all of them."""
    with service.database.reading() as db:
        rows = in_place.of_open_jobs(db, service.site)
    return {
        row["account"]: _clamped(row["belongs"], row["secured"], row["loose"])
        for row in rows
        if row["belongs"] > 0
    }


def _clamped(belongs: int, secured: int, loose: int) -> InPlace:
    """Never more in place than belongs there: one piece too many is for the check to tell."""
    secured = min(secured, belongs)
    return InPlace(belongs=belongs, secured=secured, loose=min(loose, belongs - secured))
