"""How each person wants the pages: their language, and inch and pound-foot beside mm and N·m."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass

from partsvc.domain.units import Units
from partsvc.store import preferences
from partsvc.work.service import Service


@dataclass(frozen=True, slots=True, kw_only=True)
class Preferences:
    """What a person has chosen; no language means as their browser asks."""

    language: str = ""
    units: Units = Units.METRIC


def preferences_of(service: Service, person: str) -> Preferences:
    """What a person has chosen, or the usual."""
    with service.database.reading() as db:
        row = preferences.preference(db, service.site, person)
    if row is None:
        return Preferences()
    return Preferences(language=row["language"], units=Units(row["units"]))


def prefer(service: Service, db: sqlite3.Connection, person: str, given: Preferences) -> None:
    """A person chooses, for every device they use."""
    preferences.prefer(db, service.site, person, language=given.language, units=given.units.value)
