"""Who plays: six invented people, set up by the workshop's first access and signed in."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

from partsvc.work.first_start import FirstAccess
from seed.play.catalogue import document, parts_of
from seed.play.door import Door, SignedIn

EQUIPMENT = (
    ("M-07", "instrument", "meter for high voltage, two poles"),
    ("G-02", "gloves", "insulating gloves, size 10"),
    ("L-01", "lift", "two-post lift, bay 2"),
)
SHIFTS_END = ("14:00", "22:00")

DEVICES = {
    "tove": "handheld 1",
    "miro": "handheld 2",
    "lio": "handheld 3",
    "asha": "parts desk",
    "brun": "tablet",
}


def password(login: str) -> str:
    """The demonstration's password of a person."""
    return f"{login}-demo-2030"


def set_up(door: Door, access: FirstAccess) -> None:
    """People, catalogues, procedure, equipment and shifts, as a lead sets a workshop up."""
    first = door.sign_in(access.login, access.password, "office")
    for person in _people():
        asked = {"login": person["key"], "name": person["name"], "roles": person["roles"]}
        asked["qualifications"] = person.get("qualifications", [])
        first.make("/people", asked | {"password": password(person["key"])})
    parts = [*parts_of("van_battery"), *parts_of("dashboard")]
    for part in sorted(parts, key=lambda one: "superseded_by" in one):  # successors stand first
        first.make("/parts", part)
    first.make("/procedures", document("van_battery", "procedure.json"))
    for number, kind, words in EQUIPMENT:
        good_until = {"good_until": f"{datetime.now(UTC).year + 1}-01-31"}
        first.make("/equipment", {"number": number, "kind": kind, "words": words} | good_until)
    first.write("/shifts", {"ends": list(SHIFTS_END)})


def signed_in(door: Door, *logins: str) -> dict[str, SignedIn]:
    """These people signed in on their devices, good for a shift; everybody if none is named."""
    return {
        person["key"]: door.sign_in(
            person["key"], password(person["key"]), DEVICES.get(person["key"], "office")
        )
        for person in _people()
        if not logins or person["key"] in logins
    }


def logins() -> Iterator[str]:
    """Who may sign in, in lines."""
    for person in _people():
        roles = ", ".join([*person["roles"], *person.get("qualifications", [])])
        yield f"{person['key']} ({roles}), password {password(person['key'])}"


def _people() -> list[dict[str, Any]]:
    return document("van_battery", "people.json")  # type: ignore[no-any-return]
