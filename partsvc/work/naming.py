"""Puts names in the place of ids where a person is told something; what is kept has the ids."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast

from partsvc.domain.people_words import calls_somebody, named
from partsvc.domain.records import Plain
from partsvc.errors import PartsvcError
from partsvc.store import people
from partsvc.work.service import Service


def names(service: Service) -> Mapping[str, str]:
    """What everybody is called, by id."""
    with service.database.reading() as db:
        rows = people.people(db, service.site)
    return {row["id"]: row["name"] or row["login"] for row in rows}


def body_in_names(service: Service, body: dict[str, Plain]) -> dict[str, Plain]:
    """The answer to an act, its warnings calling people by their names."""
    warnings = cast(list[str], body.get("warnings") or [])
    if not any(map(calls_somebody, warnings)):
        return body
    known = names(service)
    return body | {"warnings": [named(words, known) for words in warnings]}


def call_by_names(service: Service, problem: PartsvcError) -> None:
    """What a problem says to do, calling people by their names."""
    if calls_somebody(problem.detail):
        problem.detail = named(problem.detail, names(service))
