"""Who plays: five invented people, set up by the workshop's first access and signed in."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from partsvc.work.first_start import FirstAccess
from seed.play.catalogue import document, parts_of
from seed.play.door import Door, SignedIn

DEVICES = {"tove": "handheld 1", "miro": "handheld 2", "asha": "parts desk", "brun": "tablet"}


def password(login: str) -> str:
    """The demonstration's password of a person."""
    return f"{login}-demo-2030"


def set_up(door: Door, access: FirstAccess) -> None:
    """People, both catalogues and the procedure, as a lead sets a workshop up."""
    first = door.sign_in(access.login, access.password, "office")
    for person in _people():
        asked = {"login": person["key"], "name": person["name"], "roles": person["roles"]}
        first.make("/people", asked | {"password": password(person["key"])})
    parts = [*parts_of("van_battery"), *parts_of("dashboard")]
    for part in sorted(parts, key=lambda one: "superseded_by" in one):  # successors stand first
        first.make("/parts", part)
    first.make("/procedures", document("van_battery", "procedure.json"))


def signed_in(door: Door) -> dict[str, SignedIn]:
    """Everybody signed in on their device, good for a shift."""
    return {
        person["key"]: door.sign_in(
            person["key"], password(person["key"]), DEVICES.get(person["key"], "office")
        )
        for person in _people()
    }


def logins() -> Iterator[str]:
    """Who may sign in, in lines."""
    for person in _people():
        roles = ", ".join(person["roles"])
        yield f"{person['key']} ({roles}), password {password(person['key'])}"


def _people() -> list[dict[str, Any]]:
    return document("van_battery", "people.json")  # type: ignore[no-any-return]
