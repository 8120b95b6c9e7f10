"""Addresses of vehicles."""

from __future__ import annotations

from partsvc.api.paging import LINK_HEADER, next_page
from partsvc.api.room import Room
from partsvc.domain.acts.kinds import ALL, SUPPLY
from partsvc.web.running import service
from partsvc.work import vehicles
from partsvc.work.answers import Writing
from partsvc.work.vehicles import VehicleGiven, VehicleShown, VehiclesPage, VehiclesWanted

room = Room("vehicles", __name__, description="Vehicles: an odd number is warned about, and kept.")


@room.at(
    "GET", "/vehicles", roles=ALL, asks=VehiclesWanted, gives=VehiclesPage, headers=LINK_HEADER,
)  # fmt: skip
def get_vehicles(*, asked: VehiclesWanted) -> tuple[VehiclesPage, dict[str, str]]:
    """List vehicles, by id"""
    page = vehicles.page(service(), asked)
    full = len(page.vehicles) == asked.limit
    return page, next_page("after", page.vehicles[-1].id if full else None)


@room.at(
    "POST", "/vehicles", roles=SUPPLY, takes=VehicleGiven, gives=VehicleShown, status=201,
    writes=True, location="/api/v1/vehicles/{id}",
)  # fmt: skip
def post_vehicle(*, db: Writing, given: VehicleGiven) -> VehicleShown:
    """Add a vehicle

    What looks odd about its number is said in `warnings`, and the number is kept as given.
    """
    return vehicles.add(service(), db, given)


@room.at("GET", "/vehicles/<vehicle>", roles=ALL, gives=VehicleShown, etag=True)
def get_vehicle(vehicle: str) -> VehicleShown:
    """Look a vehicle up"""
    with service().database.reading() as db:
        return vehicles.vehicle(service(), db, vehicle)


@room.at(
    "PUT", "/vehicles/<vehicle>", roles=SUPPLY, takes=VehicleGiven, gives=VehicleShown,
    writes=True, etag=True,
)  # fmt: skip
def put_vehicle(vehicle: str, *, db: Writing, given: VehicleGiven) -> VehicleShown:
    """Write a vehicle anew"""
    found = vehicles.vehicle(service(), db, vehicle)
    room.same(found)
    return vehicles.put(service(), db, found, given)
