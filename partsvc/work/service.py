"""The service: the database, the site it serves, the clock. Passed to every piece of work."""

from __future__ import annotations

import json
import sqlite3
import threading
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType

from partsvc.domain.canonical import CHAIN_START
from partsvc.domain.desk import WORKSHOP
from partsvc.domain.parts import Part
from partsvc.domain.plan import Plan
from partsvc.domain.records import decode
from partsvc.store import acts as act_store
from partsvc.store import keeping
from partsvc.store.database import Database
from partsvc.store.migrations import prepare
from partsvc.work import clock
from partsvc.work.clock import Clock


@dataclass(frozen=True, slots=True, kw_only=True)
class Sender:
    """Who is signed in, on which device, with which roles."""

    person: str
    roles: frozenset[str]
    device: str


@dataclass(slots=True)
class Service:
    """One workshop's service."""

    database: Database
    site: str
    zone: str
    now: Clock = clock.now
    public_address: str = ""
    in_flight: set[str] = field(default_factory=set)
    in_flight_guard: threading.Lock = field(default_factory=threading.Lock)
    catalogue: tuple[int, Mapping[str, Part]] = (-1, MappingProxyType({}))

    def stamp(self) -> str:
        """The time now as records have it."""
        return clock.stamp(self.now())

    def today(self) -> str:
        """The day it is by the workshop's own calendar."""
        return clock.day_of(self.stamp(), self.zone)


def open_service(
    folder: Path,
    *,
    now: Clock = clock.now,
    name: str = "Workshop",
    zone: str = "UTC",
    public_address: str = "",
) -> Service:
    """Open the folder's database, carried forward if it is older; set the site up if it is new."""
    moment = now()
    prepare(folder, stamp=moment.strftime("%Y%m%dT%H%M%SZ"))
    database = Database(folder)
    with database.writing() as db:
        row = keeping.site(db)
        if row is None:
            ident = clock.new_id("w")
            keeping.add_site(db, ident=ident, name=name, zone=zone, at=clock.stamp(moment))
            act_store.add_account(db, ident, WORKSHOP, kind="workshop", start=CHAIN_START)
            row = keeping.site(db)
    if row is None:
        raise RuntimeError("the site was not set up")
    return Service(
        database=database,
        site=row["id"],
        zone=row["zone"],
        now=now,
        public_address=public_address,
    )


def parts_of(service: Service, db: sqlite3.Connection) -> Mapping[str, Part]:
    """The catalogue, read again only when it changed."""
    row = keeping.site(db)
    version = row["catalogue_version"] if row else 0
    known_version, known = service.catalogue
    if known_version == version:
        return known
    parts = {row["number"]: _part(row["text"]) for row in keeping.parts(db, service.site)}
    service.catalogue = (version, parts)
    return parts


@lru_cache(maxsize=4096)
def _part(text: str) -> Part:
    return decode(Part, parse(text))


@lru_cache(maxsize=64)
def plan_from(text: str) -> Plan:
    """The plan in a stored revision; revisions never change, so each is read once."""
    return decode(Plan, parse(text))


def parse(text: str) -> object:
    """Stored canonical text as plain data."""
    return json.loads(text)
