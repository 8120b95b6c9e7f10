"""The people of the workshop: who may sign in, and for what they are here.

In records people are random ids; their names stand in a table of their own and can be erased.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.kinds import Role
from partsvc.domain.records import AtMost, Between, Form, Id, Length, Name, Qualification, Says
from partsvc.errors import Conflict, Invalid, NotFound, Stale
from partsvc.store import people
from partsvc.store.database import Row
from partsvc.work import clock
from partsvc.work.service import Service
from partsvc.work.signing_in import Password, hashed

Login = Annotated[
    str,
    Length(1, 40),
    Form(r"[a-z0-9][a-z0-9._-]*", "a sign-in name (small letters, digits, . _ -)"),
]
Roles = Annotated[tuple[Role, ...], AtMost(4), Says("what the person is here for")]
Qualifications = Annotated[
    tuple[Qualification, ...],
    AtMost(20),
    Says("what the person may do by training, as words: high-voltage; apprentice works supervised"),
]


@dataclass(frozen=True, slots=True, kw_only=True)
class NewPerson:
    """Somebody who is to sign in."""

    login: Login
    name: Name
    roles: Roles
    qualifications: Qualifications = ()
    password: Annotated[Password | None, Says("none: only programs sign in, by token")] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonChange:
    """What is to change about a person; what is left out stays."""

    name: Name | None = None
    roles: Roles = ()
    qualifications: Annotated[
        tuple[Qualification, ...] | None,
        AtMost(20),
        Says("all of them, as words; an empty list for none any more"),
    ] = None
    active: Annotated[bool | None, Says("false: every token of the person ends at once")] = None
    password: Password | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonShown:
    """A person of the workshop."""

    id: str
    login: str
    name: str
    roles: tuple[str, ...]
    qualifications: tuple[str, ...]
    active: bool
    version: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PeopleShown:
    """Everybody, by sign-in name."""

    people: tuple[PersonShown, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PeopleWanted:
    """Which people are asked for, by sign-in name."""

    after: Annotated[Id | None, Says("the sign-in name before the page")] = None
    limit: Annotated[int, Between(1, 200)] = 100


def page(service: Service, wanted: PeopleWanted) -> PeopleShown:
    """A page of the people, by sign-in name."""
    with service.database.reading() as db:
        rows = people.people(db, service.site)
    after = wanted.after or ""
    found = [row for row in rows if row["login"] > after][: wanted.limit]
    return PeopleShown(people=tuple(map(_shown, found)))


def person(service: Service, db: sqlite3.Connection, ident: str) -> PersonShown:
    """One person; NotFound if there is nobody of that id."""
    row = people.person(db, service.site, ident)
    if row is None:
        raise NotFound(f"Nobody here is called {ident}.", person=ident)
    return _shown(row)


def add(service: Service, db: sqlite3.Connection, given: NewPerson) -> PersonShown:
    """Somebody new; Conflict when the sign-in name is taken."""
    if not given.roles:
        raise Invalid("Say at least one role.", field="roles")
    if people.person_by_login(db, service.site, given.login) is not None:
        raise Conflict(
            f"The sign-in name {given.login} is taken. Choose another.", login=given.login
        )
    ident = clock.new_id("p")
    people.add_person(
        db,
        service.site,
        ident=ident,
        login=given.login,
        name=given.name,
        roles=_roles(given.roles),
        secret=hashed(given.password) if given.password else "",
        qualifications=_words(given.qualifications),
    )
    return person(service, db, ident)


def change(
    service: Service, db: sqlite3.Connection, found: PersonShown, given: PersonChange
) -> PersonShown:
    """Change a person; Conflict when no lead would be left."""
    roles = _roles(given.roles) or " ".join(found.roles)
    active = found.active if given.active is None else given.active
    if not (active and Role.LEAD in roles.split()):
        _another_lead(service, db, found.id)
    done = people.change_person(
        db,
        service.site,
        ident=found.id,
        version=found.version,
        name=given.name or found.name,
        roles=roles,
        active=active,
        qualifications=_words(
            found.qualifications if given.qualifications is None else given.qualifications
        ),
        secret=hashed(given.password) if given.password else "",
    )
    if not done:
        raise Stale("The person was changed meanwhile. Fetch them again.", person=found.id)
    return person(service, db, found.id)


def erase_name(service: Service, db: sqlite3.Connection, found: PersonShown) -> PersonShown:
    """Take the name of somebody who has left out of the service; what they recorded stays.

    In records they were an id all along. Conflict while they still work here, Stale if somebody
    changed them meanwhile. Safety copies made before still hold the name.
    """
    if found.active:
        raise Conflict(
            "This person still works here. Take their access away first, then erase the name.",
            person=found.id,
        )
    if not people.erase_name(db, service.site, found.id, version=found.version):
        raise Stale("The person was changed meanwhile. Fetch them again.", person=found.id)
    return person(service, db, found.id)


def _another_lead(service: Service, db: sqlite3.Connection, ident: str) -> None:
    leads = [
        row["id"]
        for row in people.people(db, service.site)
        if row["active"] and Role.LEAD in row["roles"].split()
    ]
    if leads == [ident]:
        raise Conflict("Nobody else is a lead. Make another person lead first.", person=ident)


def _roles(roles: tuple[Role, ...]) -> str:
    return " ".join(role.value for role in Role if role in roles)


def _words(qualifications: tuple[str, ...]) -> str:
    return " ".join(sorted(set(qualifications)))


def _shown(row: Row) -> PersonShown:
    return PersonShown(
        id=row["id"],
        login=row["login"],
        name=row["name"],
        roles=tuple(row["roles"].split()),
        qualifications=tuple(row["qualifications"].split()),
        active=bool(row["active"]),
        version=row["version"],
    )
