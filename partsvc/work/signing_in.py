"""Signing in: a password once a shift, then a token that nobody can guess.

Only a token's SHA-256 is kept, and only a password's scrypt hash; neither can be read back.
"""

from __future__ import annotations

import hashlib
import sqlite3
from dataclasses import dataclass
from datetime import timedelta
from typing import Annotated

from werkzeug.security import check_password_hash, generate_password_hash

from partsvc.domain.records import Between, Length, Line, Name, Says
from partsvc.errors import NotFound, NotSignedIn
from partsvc.store import people
from partsvc.store.database import Row
from partsvc.work import clock
from partsvc.work.service import Sender, Service

A_SHIFT = timedelta(hours=12)

Password = Annotated[str, Length(8, 200), Says("at least 8 characters")]


@dataclass(frozen=True, slots=True, kw_only=True)
class SignIn:
    """A person signs in on a device."""

    login: Name
    password: Annotated[str, Length(1, 200)]
    device: Annotated[Line, Says("which phone, tablet or scanner this is")] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NewToken:
    """A token for a program, such as a scanner station or the stock system."""

    name: Annotated[Line, Says("what it is for")]
    days: Annotated[int, Between(1, 3650), Says("how long it is good")] = 365


@dataclass(frozen=True, slots=True, kw_only=True)
class TokenShown:
    """A new token; it is shown this once and cannot be read again."""

    token: str
    person: str
    login: str
    name: str
    roles: tuple[str, ...]
    device: str
    good_until: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SessionShown:
    """Who is signed in, on which device, and for how long."""

    person: str
    login: str
    name: str
    roles: tuple[str, ...]
    device: str
    good_until: str


def hashed(password: str) -> str:
    """What is kept of a password: scrypt, with a salt of its own."""
    return generate_password_hash(password)


# Checked against when nobody has the name, so that a wrong name takes as long as a wrong password.
_NOBODY = (
    "scrypt:32768:8:1$partsvcpartsvcpa$"
    "00000000000000000000000000000000000000000000000000000000000000000000000000000000"
    "000000000000000000000000000000000000000000000000"
)


def sign_in(service: Service, given: SignIn) -> TokenShown:
    """A token for the length of a shift; NotSignedIn says nothing of which of the two was wrong."""
    with service.database.reading() as db:
        row = people.person_by_login(db, service.site, given.login)
    known = row is not None and bool(row["active"]) and bool(row["secret"])
    right = check_password_hash(row["secret"] if row and known else _NOBODY, given.password)
    if row is None or not (known and right):
        raise NotSignedIn("This name and password do not belong together. Try again.")
    with service.database.writing() as db:
        return _token_for(service, db, row, device=given.device, good_for=A_SHIFT)


def program_token(
    service: Service, db: sqlite3.Connection, person: str, given: NewToken
) -> TokenShown:
    """A long-lived token by which a program acts as this person."""
    row = people.person(db, service.site, person)
    if row is None or not row["active"]:
        raise NotFound(f"Nobody active here is called {person}.", person=person)
    return _token_for(service, db, row, device=given.name, good_for=timedelta(days=given.days))


def _token_for(
    service: Service, db: sqlite3.Connection, row: Row, *, device: str, good_for: timedelta
) -> TokenShown:
    token = clock.new_token()
    good_until = clock.stamp(service.now() + good_for)
    people.add_token(
        db,
        service.site,
        digest=_digest(token),
        person_id=row["id"],
        device=device,
        at=service.stamp(),
        good_until=good_until,
    )
    return TokenShown(
        token=token,
        person=row["id"],
        login=row["login"],
        name=row["name"],
        roles=tuple(row["roles"].split()),
        device=device,
        good_until=good_until,
    )


def signed_in(service: Service, token: str) -> Sender:
    """Whose token this is; NotSignedIn when it is not good, or no longer."""
    row = _token_row(service, token)
    return Sender(person=row["person"], roles=frozenset(row["roles"].split()), device=row["device"])


def session(service: Service, token: str) -> SessionShown:
    """Who is signed in with a token."""
    row = _token_row(service, token)
    with service.database.reading() as db:
        person = people.person(db, service.site, row["person"])
    return SessionShown(
        person=row["person"],
        login=row["login"],
        name=person["name"] if person else "",
        roles=tuple(row["roles"].split()),
        device=row["device"],
        good_until=row["good_until"],
    )


def _token_row(service: Service, token: str) -> Row:
    with service.database.reading() as db:
        row = people.token(db, service.site, _digest(token))
    if row is None or row["good_until"] <= service.stamp():
        raise NotSignedIn("You are not signed in any more. Sign in again.")
    return row


def sign_out(service: Service, token: str) -> None:
    """The token is good no longer."""
    with service.database.writing() as db:
        people.revoke_token(db, service.site, _digest(token))


def _digest(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
