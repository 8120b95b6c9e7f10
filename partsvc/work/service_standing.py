"""How the service stands, for who looks after it: version, folder, room on the disk, how much."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from importlib.metadata import version

from partsvc.store import sizes
from partsvc.work.service import Service

#: With less room than this on the disk, a copy or a day of photos may no longer fit.
LITTLE_ROOM_BYTES = 2_000_000_000
_FILES = ("", "-wal", "-shm")


@dataclass(frozen=True, slots=True, kw_only=True)
class ServiceStanding:
    """What the service is made of, and what of it wants somebody's eye."""

    version: str
    folder: str
    zone: str
    disk_free_bytes: int
    disk_bytes: int
    little_room: bool
    database_bytes: int
    acts: int
    jobs: int
    open_jobs: int
    photos: int
    photos_bytes: int
    to_be_printed: int
    to_be_looked_at: int


def service_standing(service: Service) -> ServiceStanding:
    """How the service stands now."""
    path = service.database.path
    disk = shutil.disk_usage(service.database.folder)
    with service.database.reading() as db:
        found = sizes.how_many(db, service.site)
    files = (path.with_name(path.name + ending) for ending in _FILES)
    database_bytes = sum(one.stat().st_size for one in files if one.exists())
    return ServiceStanding(
        version=version("partsvc"),
        folder=str(service.database.folder.absolute()),
        zone=service.zone,
        disk_free_bytes=disk.free,
        disk_bytes=disk.total,
        # A copy takes as much again as the database.
        little_room=disk.free < max(LITTLE_ROOM_BYTES, 2 * database_bytes),
        database_bytes=database_bytes,
        **{name: found[name] for name in found.keys()},  # noqa: SIM118 - a row is no mapping
    )
