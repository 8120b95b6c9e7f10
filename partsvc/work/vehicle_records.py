"""The record of a vehicle over all its jobs, read in a handful of queries."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from partsvc.domain.job_plan import begun, job_plan
from partsvc.domain.job_state import Happened, fold
from partsvc.domain.plan import EMPTY
from partsvc.domain.record_lines import (
    FragmentOnRecord,
    JobHeading,
    LineOnRecord,
    LostMoved,
    LostOnRecord,
    ReleaseOnRecord,
)
from partsvc.domain.vehicle_record import (
    JobPast,
    accepted_on_record,
    differs_on_record,
    fragments_on_record,
    lost_on_record,
    releases_on_record,
    repairs_on_record,
)
from partsvc.store import histories
from partsvc.work.service import Service, parts_of, plan_from
from partsvc.work.vehicles import vehicle

L = TypeVar("L")


@dataclass(frozen=True, slots=True, kw_only=True)
class VehicleRecord:
    """All that stays on a vehicle's record, job after job, oldest first."""

    vehicle: str
    vin: str
    model: str
    jobs: tuple[JobHeading, ...]
    lost: tuple[LostOnRecord, ...]
    fragments: tuple[FragmentOnRecord, ...]
    accepted: tuple[LineOnRecord, ...]
    repaired: tuple[LineOnRecord, ...]
    differs: tuple[LineOnRecord, ...]
    releases: tuple[ReleaseOnRecord, ...]


def vehicle_record(service: Service, ident: str) -> VehicleRecord:
    """The record of a vehicle; NotFound if there is none of that id."""
    with service.database.reading() as db:
        shown = vehicle(service, db, ident)
        rows = histories.jobs_of(db, service.site, ident)
        happened: dict[str, list[Happened]] = defaultdict(list)
        for job, item in histories.effects_of(db, service.site, ident):
            happened[job].append(item)
        moves: dict[str, list[LostMoved]] = defaultdict(list)
        for job, moved in histories.lost_moves(db, service.site, ident):
            moves[job].append(moved)
        parts = parts_of(service, db)
    pasts = []
    for row in rows:
        pinned = begun(plan_from(row["text"])) if row["text"] else EMPTY
        own = happened[row["id"]]
        pasts.append(
            JobPast(
                heading=JobHeading(
                    id=row["id"],
                    number=row["number"],
                    title=row["title"],
                    state=row["state"],
                    opened_at=row["opened_at"],
                ),
                plan=job_plan(pinned, (item.effect for item in own)),
                state=fold(own),
                moves=moves[row["id"]],
                parts=parts,
            )
        )
    return VehicleRecord(
        vehicle=ident,
        vin=shown.vin,
        model=shown.model,
        jobs=tuple(past.heading for past in pasts),
        lost=_over(pasts, lost_on_record),
        fragments=_over(pasts, fragments_on_record),
        accepted=_over(pasts, accepted_on_record),
        repaired=_over(pasts, repairs_on_record),
        differs=_over(pasts, differs_on_record),
        releases=_over(pasts, releases_on_record),
    )


def _over(pasts: Sequence[JobPast], look: Callable[[JobPast], Iterable[L]]) -> tuple[L, ...]:
    return tuple(line for past in pasts for line in look(past))
