"""The first start: a lead who can sign in, and then set everything else up."""

from __future__ import annotations

import secrets
from dataclasses import dataclass

from partsvc.domain.acts.kinds import Role
from partsvc.errors import NotFound
from partsvc.store import people
from partsvc.work import clock
from partsvc.work.service import Sender, Service
from partsvc.work.signing_in import hashed

FIRST_LOGIN = "lead"


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstAccess:
    """How to sign in for the first time; the password is shown this once."""

    login: str
    password: str


def first_access(service: Service) -> FirstAccess | None:
    """Make the lead's access when nobody is there yet; None when somebody is."""
    with service.database.writing() as db:
        if people.people(db, service.site):
            return None
        password = secrets.token_urlsafe(9)
        people.add_person(
            db,
            service.site,
            ident=clock.new_id("p"),
            login=FIRST_LOGIN,
            name="Workshop lead",
            roles=" ".join(Role),
            secret=hashed(password),
        )
    return FirstAccess(login=FIRST_LOGIN, password=password)


def at_the_console(service: Service) -> Sender:
    """Who works at the service's own console: the first active lead."""
    with service.database.reading() as db:
        for row in people.people(db, service.site):
            if row["active"] and Role.LEAD in row["roles"].split():
                roles = frozenset(row["roles"].split())
                return Sender(person=row["id"], roles=roles, device="console")
    raise NotFound("Nobody here is a lead. Start the service once: it makes a lead's access.")
