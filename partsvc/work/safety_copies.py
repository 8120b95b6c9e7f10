"""Safety copies of the database: made while the service runs, listed, given out, never deleted.

They lie in the folder's own `backups`, each named by its time. A copy on the same disk helps
against a mistake, not against the loss of the disk: somebody has to carry it elsewhere.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from partsvc.errors import Busy, NotFound
from partsvc.work import clock
from partsvc.work.service import Service
from partsvc.work.upkeep import back_up

FOLDER = "backups"
NEEDED_EVERY = timedelta(days=1)
_NAME = re.compile(r"partsvc-([0-9]{8}T[0-9]{6})Z(-[0-9]{1,4})?\.sqlite3")
_TIME = "%Y%m%dT%H%M%S"


@dataclass(frozen=True, slots=True, kw_only=True)
class SafetyCopy:
    """One copy: its file's name, when it was made, how large it is."""

    name: str
    made_at: str
    size_bytes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SafetyCopies:
    """All copies, newest first; `overdue` says in words why a new one is wanted, or nothing."""

    copies: tuple[SafetyCopy, ...]
    folder: str
    overdue: str


def make_copy(service: Service) -> SafetyCopy:
    """Copy the database while others go on working; the copy is read back before it counts.

    Busy when it cannot be written, BadFile when it is not sound; nothing is left then, and copies
    made before stay as they are.
    """
    folder = _folder(service)
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise Busy(f"The folder {folder} cannot be made: {error}. See to the disk.") from error
    stem = f"partsvc-{service.now().astimezone(UTC).strftime(_TIME)}Z"
    names = (f"{stem}.sqlite3", *(f"{stem}-{n}.sqlite3" for n in range(2, 100)))
    target = next(folder / name for name in names if not (folder / name).exists())
    back_up(service, target)
    return _copy(target)


def copies(service: Service) -> SafetyCopies:
    """Every copy there is, newest first."""
    folder = _folder(service)
    paths = [one for one in folder.iterdir() if _made_at(one)] if folder.is_dir() else []
    found = sorted(map(_copy, paths), key=lambda one: (one.made_at, one.name), reverse=True)
    return SafetyCopies(
        copies=tuple(found), folder=str(folder.absolute()), overdue=_overdue(service, found)
    )


def copy_path(service: Service, name: str) -> Path:
    """Where a copy of this name lies; NotFound if there is none."""
    path = _folder(service) / name
    if not _NAME.fullmatch(name) or not path.is_file():
        raise NotFound(f"There is no safety copy {name}. Look at the list.", copy=name)
    return path.absolute()


def _overdue(service: Service, found: list[SafetyCopy]) -> str:
    if not found:
        return "No safety copy was ever made here. Make one now, and keep it on another machine."
    age = service.now() - datetime.fromisoformat(found[0].made_at)
    if age <= NEEDED_EVERY:
        return ""
    days = "a day" if age.days == 1 else f"{age.days} days"
    return f"The newest safety copy is more than {days} old. Make one now."


def _folder(service: Service) -> Path:
    return service.database.folder / FOLDER


def _made_at(path: Path) -> str:
    named = _NAME.fullmatch(path.name)
    if named is None:
        return ""
    try:
        return clock.stamp(datetime.strptime(named[1], _TIME).replace(tzinfo=UTC))
    except ValueError:
        # A name of our form that is no time: somebody else's file.
        return ""


def _copy(path: Path) -> SafetyCopy:
    return SafetyCopy(name=path.name, made_at=_made_at(path), size_bytes=path.stat().st_size)
