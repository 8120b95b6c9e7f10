"""The workshop's own time: the ends of its shifts, its days, and times as people say them.

Records are in UTC. What a shift or a date means depends on where the workshop stands, and on which
side of a change of the clocks.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo


def moment(text: str) -> datetime:
    """A time of a record."""
    return datetime.fromisoformat(text)


def stamp(at: datetime) -> str:
    """A time as records have it: RFC 3339, UTC, milliseconds."""
    return at.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def later(text: str, *, hours: int = 0, minutes: int = 0) -> str:
    """The time of a record so much later."""
    return stamp(moment(text) + timedelta(hours=hours, minutes=minutes))


def shift_end_after(text: str, ends: Iterable[str], zone: str) -> str:
    """The next end of a shift after a time; empty where the workshop has named none.

    Where the clock is put back, a shift may end at either of two moments: the first one counts.
    """
    after = moment(text).astimezone(UTC)
    found = [end for end in _ends_near(after, ends, ZoneInfo(zone)) if end > after]
    return stamp(min(found)) if found else ""


def _ends_near(at: datetime, ends: Iterable[str], zone: ZoneInfo) -> Iterator[datetime]:
    today = at.astimezone(zone).date()
    for end in ends:
        for days in range(3):
            local = datetime.combine(today + timedelta(days=days), time.fromisoformat(end), zone)
            yield local.astimezone(UTC)
            yield local.replace(fold=1).astimezone(UTC)


def local_day(text: str, zone: str) -> str:
    """The day it is in the workshop, as in 2030-01-31."""
    return moment(text).astimezone(ZoneInfo(zone)).date().isoformat()


def local_words(text: str, zone: str) -> str:
    """A time as the workshop's clock shows it, with its day."""
    return f"{moment(text).astimezone(ZoneInfo(zone)):%H:%M on %Y-%m-%d}"


def minutes_until(text: str, end: str) -> int:
    """How many minutes are left until a time, begun ones counted whole; 0 when it has passed."""
    seconds = (moment(end) - moment(text)).total_seconds()
    return max(0, -int(-seconds // 60))
