"""Addresses of what stays on a vehicle's record."""

from __future__ import annotations

from partsvc.api.room import Room
from partsvc.domain.acts.kinds import ALL
from partsvc.web.running import service
from partsvc.work.vehicle_records import VehicleRecord, vehicle_record

room = Room("vehicle records", __name__, description="What stays on a vehicle's record.")


@room.at("GET", "/vehicles/<vehicle>/record", roles=ALL, gives=VehicleRecord)
def get_vehicle_record(vehicle: str) -> VehicleRecord:
    """Read what stays on a vehicle's record, over all its jobs

    What was lost, with who searched and who decided; the rests of broken pieces; what was taken
    as it is, repaired or found otherwise than planned; and the releases with their heads.
    """
    return vehicle_record(service(), vehicle)
