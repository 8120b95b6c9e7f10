"""Addresses for those who look after the service: is it alive, and what its problems mean."""

from __future__ import annotations

from dataclasses import dataclass

from partsvc.api.problems import known_problems
from partsvc.api.room import Room
from partsvc.errors import NotFound
from partsvc.web.running import service

room = Room("service", __name__, description="The service itself.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Health:
    """The service answers and its database can be read."""

    status: str
    site: str
    time: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ProblemShown:
    """What a problem's code means."""

    code: str
    status: int
    title: str
    means: str


@room.at("GET", "/health", roles=None, gives=Health)
def get_health() -> Health:
    """Say whether the service is alive"""
    with service().database.reading():
        return Health(status="ok", site=service().site, time=service().stamp())


@room.at("GET", "/problems/<code>", roles=None, gives=ProblemShown)
def get_problem(code: str) -> ProblemShown:
    """Explain a problem's code"""
    known = known_problems().get(code)
    if known is None:
        raise NotFound(f"There is no problem {code}.", known=tuple(known_problems()))
    status, title, means = known
    return ProblemShown(code=code, status=status, title=title, means=means)
