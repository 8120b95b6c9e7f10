"""The clock and chance, at the one place where the service asks for them."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from uuid import uuid4
from zoneinfo import ZoneInfo

Clock = Callable[[], datetime]
_ID_LETTERS = "abcdefghijkmnpqrstuvwxyz23456789"


def now() -> datetime:
    """The time now, in UTC."""
    return datetime.now(UTC)


def stamp(at: datetime) -> str:
    """A time as records have it: RFC 3339, UTC, milliseconds."""
    return at.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def day_of(stamp_text: str, zone: str) -> str:
    """The day on which a recorded time falls by the calendar of a zone."""
    moment = datetime.fromisoformat(stamp_text)
    try:
        return moment.astimezone(ZoneInfo(zone)).date().isoformat()
    except OverflowError:
        # At the very ends of the calendar the neighbouring day does not exist.
        return moment.date().isoformat()


def read_time(text: str, *, offset_ms: int = 0) -> datetime:
    """A time as sent, corrected by the device's clock offset; ValueError if it cannot be."""
    moment = datetime.fromisoformat(text.upper()) + timedelta(milliseconds=offset_ms)
    return moment.astimezone(UTC)


def new_id(prefix: str) -> str:
    """A random id, global: it says nothing of when or where it was made."""
    return prefix + "".join(secrets.choice(_ID_LETTERS) for _ in range(14))


def new_key() -> str:
    """A key for an act the service itself records."""
    return str(uuid4())


def below(bound: int) -> int:
    """A random whole number from 0 to below the bound."""
    return secrets.randbelow(bound)


def new_token() -> str:
    """A token nobody can guess."""
    return secrets.token_urlsafe(32)
