"""Vehicles: their numbers are kept as given, and what looks odd about one is said.

Owner and number plate never stand in a record of the ledger.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.records import Between, Id, Length, Says
from partsvc.domain.vin import findings
from partsvc.errors import NotFound, Stale
from partsvc.store import keeping
from partsvc.store.database import Row
from partsvc.work import clock
from partsvc.work.service import Service

Vin = Annotated[str, Length(0, 40), Says("as it stands on the vehicle; 17 characters as a rule")]
Short = Annotated[str, Length(0, 80)]


@dataclass(frozen=True, slots=True, kw_only=True)
class VehicleGiven:
    """A vehicle as it comes in; nothing of it is obligatory."""

    vin: Vin = ""
    model: Short = ""
    plate: Short = ""
    owner: Short = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class VehicleShown:
    """A vehicle, with what its number should be looked at again for."""

    id: str
    vin: str
    model: str
    plate: str
    owner: str
    version: int
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class VehiclesWanted:
    """Which vehicles are asked for, by id."""

    after: Annotated[Id | None, Says("the id before the page")] = None
    limit: Annotated[int, Between(1, 200)] = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class VehiclesPage:
    """A page of vehicles."""

    vehicles: tuple[VehicleShown, ...]


def page(service: Service, wanted: VehiclesWanted) -> VehiclesPage:
    """A page of vehicles by id."""
    with service.database.reading() as db:
        rows = keeping.vehicles(db, service.site, after=wanted.after or "", limit=wanted.limit)
    return VehiclesPage(vehicles=tuple(map(_shown, rows)))


def vehicle(service: Service, db: sqlite3.Connection, ident: str) -> VehicleShown:
    """One vehicle; NotFound if there is none of that id."""
    row = keeping.vehicle(db, service.site, ident)
    if row is None:
        raise NotFound(f"There is no vehicle {ident}. Add it first.", vehicle=ident)
    return _shown(row)


def add(service: Service, db: sqlite3.Connection, given: VehicleGiven) -> VehicleShown:
    """A vehicle comes in; an odd number is warned about, never refused."""
    ident = clock.new_id("v")
    keeping.add_vehicle(
        db,
        service.site,
        ident=ident,
        vin=given.vin,
        model=given.model,
        plate=given.plate,
        owner=given.owner,
    )
    return vehicle(service, db, ident)


def put(
    service: Service, db: sqlite3.Connection, found: VehicleShown, given: VehicleGiven
) -> VehicleShown:
    """Write a vehicle anew."""
    done = keeping.change_vehicle(
        db,
        service.site,
        ident=found.id,
        version=found.version,
        vin=given.vin,
        model=given.model,
        plate=given.plate,
        owner=given.owner,
    )
    if not done:
        raise Stale("The vehicle was changed meanwhile. Fetch it again.", vehicle=found.id)
    return vehicle(service, db, found.id)


def _shown(row: Row) -> VehicleShown:
    return VehicleShown(
        id=row["id"],
        vin=row["vin"],
        model=row["model"],
        plate=row["plate"],
        owner=row["owner"],
        version=row["version"],
        warnings=findings(row["vin"]) if row["vin"] else (),
    )
