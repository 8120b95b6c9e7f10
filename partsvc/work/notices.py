"""What the parts desk is told since it last looked, and what of it is ticked off."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.notices import NoticeKind
from partsvc.domain.parts import part_words
from partsvc.domain.records import AtMost, Between, Says, Words
from partsvc.errors import Invalid, NotFound
from partsvc.store import notices as notice_store
from partsvc.store.database import Row
from partsvc.work.service import Sender, Service, parts_of

MOST = 2**53 - 1
NoticeNumber = Annotated[int, Between(1, MOST)]


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticesWanted:
    """Which notices are asked for, oldest first."""

    after: Annotated[int, Between(0, MOST), Says("number of the last notice seen")] = 0
    open: Annotated[bool, Says("only what nobody has ticked off")] = True
    limit: Annotated[int, Between(1, 200)] = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticeShown:
    """One thing the parts desk is told; `undone` when the act behind it was reversed."""

    n: int
    kind: NoticeKind
    job: str
    job_number: int
    act: str
    part: str
    called: str
    quantity: int
    words: str
    by: str
    at: str
    undone: bool
    ticked_by: str
    ticked_at: str
    ticked_words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticesPage:
    """A page of what the parts desk is told."""

    notices: tuple[NoticeShown, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TickNotices:
    """Notices that somebody at the desk has seen to."""

    notices: Annotated[tuple[NoticeNumber, ...], AtMost(200), Says("their numbers")]
    words: Annotated[Words | None, Says("what was done about them")] = None


def page(service: Service, wanted: NoticesWanted) -> NoticesPage:
    """What was told since, oldest first."""
    with service.database.reading() as db:
        rows = notice_store.page(
            db, service.site, after=wanted.after, limit=wanted.limit, open_only=wanted.open
        )
        return _page(service, db, rows)


def tick(
    service: Service, db: sqlite3.Connection, sender: Sender, given: TickNotices
) -> NoticesPage:
    """Tick notices off; what is ticked already stays as it is."""
    if not given.notices:
        raise Invalid("Name at least one notice.", field="notices")
    rows = notice_store.known(db, service.site, given.notices)
    missing = sorted(set(given.notices) - {row["n"] for row in rows})
    if missing:
        raise NotFound(f"There is no notice {missing[0]}. Look at the list.", notice=missing[0])
    notice_store.tick(
        db,
        service.site,
        [row["n"] for row in rows if not row["ticked_by"]],
        by=sender.person,
        at=service.stamp(),
        words=given.words or "",
    )
    return _page(service, db, notice_store.known(db, service.site, given.notices))


def _page(service: Service, db: sqlite3.Connection, rows: Sequence[Row]) -> NoticesPage:
    parts = parts_of(service, db)
    return NoticesPage(
        notices=tuple(
            NoticeShown(
                n=row["n"],
                kind=NoticeKind(row["kind"]),
                job=row["account"],
                job_number=row["job_number"],
                act=row["act"],
                part=row["part"],
                called=part_words(row["part"], parts.get(row["part"])),
                quantity=row["quantity"],
                words=row["words"],
                by=row["done_by"],
                at=row["done_at"],
                undone=row["reversed_by"] is not None,
                ticked_by=row["ticked_by"],
                ticked_at=row["ticked_at"],
                ticked_words=row["ticked_words"],
            )
            for row in rows
        )
    )
