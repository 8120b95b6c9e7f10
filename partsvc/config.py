"""What can be set: where the data lies, where the service listens, and how much it takes at once.

Settings come from the environment or from the command line, are checked once, and never change
while the service runs.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

MIB = 1024 * 1024
_ADDRESS = re.compile(r"https?://[A-Za-z0-9._:\[\]-]+(/[A-Za-z0-9._~/-]*)?")


class SettingFault(ValueError):
    """A setting cannot be used; the text names it and says what it should be."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """How this service is set up.

    `zone` is the workshop's time zone, for due dates and shifts. `public_address` is what tags
    link to, without a slash at its end; empty if tags carry their bare code. `listeners` is how
    many open pages are told of news at once; the others ask for them. `authority` is what devices
    are to trust, where the service made its own certificate.
    """

    folder: Path
    host: str = "127.0.0.1"
    port: int = 8080
    name: str = "Workshop"
    zone: str = "UTC"
    public_address: str = ""
    json_bytes: int = 1 * MIB
    document_bytes: int = 4 * MIB
    photo_bytes: int = 12 * MIB
    sign_ins_at_once: int = 10
    seconds_between_sign_ins: int = 6
    listeners: int = 24
    authority: Path | None = None

    def __post_init__(self) -> None:
        if not 0 < self.port < 65_536:
            raise SettingFault(f"port must be 1 to 65535, not {self.port}.")
        if self.public_address and not _ADDRESS.fullmatch(self.public_address):
            raise SettingFault(
                f"public_address must be like https://parts.example, not {self.public_address}."
            )
        for limit in ("json_bytes", "document_bytes", "photo_bytes"):
            if getattr(self, limit) < 1024:
                raise SettingFault(f"{limit} must be at least 1024.")
        for pace in ("sign_ins_at_once", "seconds_between_sign_ins", "listeners"):
            if getattr(self, pace) < 1:
                raise SettingFault(f"{pace} must be at least 1.")
        _known_zone(self.zone)


def from_environment(environment: Mapping[str, str]) -> Settings:
    """Settings from PARTSVC_FOLDER, PARTSVC_PORT and so on; SettingFault names what is wrong."""
    given = {
        name: environment[variable]
        for name in Settings.__dataclass_fields__
        if environment.get(variable := f"PARTSVC_{name.upper()}")
    }
    if "folder" not in given:
        raise SettingFault("PARTSVC_FOLDER must name the folder that holds the data.")
    numbers = {name: _number(name, given.pop(name)) for name in _NUMBERS if name in given}
    folder = Path(given.pop("folder"))
    address = given.pop("public_address", "").rstrip("/")
    return Settings(folder=folder, public_address=address, **given, **numbers)  # type: ignore[arg-type]


_NUMBERS = (
    "port", "json_bytes", "document_bytes", "photo_bytes", "sign_ins_at_once",
    "seconds_between_sign_ins", "listeners",
)  # fmt: skip


def _number(name: str, text: str) -> int:
    if not re.fullmatch(r"[0-9]{1,12}", text):
        raise SettingFault(f"{name} must be a whole number, not {text!r}.")
    return int(text)


def _known_zone(zone: str) -> None:
    try:
        ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError, OSError) as unknown:
        raise SettingFault(f"zone must be like Europe/Berlin, not {zone!r}.") from unknown
