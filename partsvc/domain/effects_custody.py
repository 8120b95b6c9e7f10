"""What acts say of who holds what: pieces offered and taken over, locks hung and taken off."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class CustodyOffered:
    """Somebody says that a person is to take over what another holds; nothing has moved yet."""

    from_person: str
    to_person: str
    part: str = ""
    position: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CustodyTaken:
    """A person took over, on their own sign-in, what another held."""

    from_person: str
    to_person: str
    part: str = ""
    position: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Locked:
    """A person hung their own lock on the vehicle, at a step or for all of it."""

    person: str
    step: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unlocked:
    """A person's lock came off: by themselves, or by somebody else under the workshop's rules."""

    person: str
    step: str = ""
    by_another: bool | None = None
