"""What the parts desk is told, in the order of recording, and what of it is ticked off."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable

from partsvc.domain.notices import Notice
from partsvc.store.database import Row


def add(db: sqlite3.Connection, site: str, account: str, act: str, notice: Notice) -> None:
    """Tell the desk of an act."""
    db.execute(
        "INSERT INTO notice (site, n, kind, account, act, part, quantity, words) VALUES"
        " (?, (SELECT coalesce(max(n), 0) + 1 FROM notice WHERE site = ?), ?, ?, ?, ?, ?, ?)",
        (
            site, site, notice.kind.value, account, act, notice.part, notice.quantity,
            notice.words,
        ),
    )  # fmt: skip


_NOTICE = (
    "SELECT n.n, n.kind, n.account, n.act, n.part, n.quantity, n.words, a.done_by, a.done_at,"
    " j.number AS job_number, r.key AS reversed_by, coalesce(t.ticked_by, '') AS ticked_by,"
    " coalesce(t.at, '') AS ticked_at, coalesce(t.words, '') AS ticked_words FROM notice n"
    " JOIN act a ON a.site = n.site AND a.key = n.act"
    " JOIN job j ON j.site = n.site AND j.id = n.account"
    " LEFT JOIN act r ON r.site = n.site AND r.account = n.account AND r.reverses = n.act"
    " LEFT JOIN notice_tick t ON t.site = n.site AND t.notice = n.n"
)


def page(
    db: sqlite3.Connection, site: str, *, after: int, limit: int, open_only: bool
) -> list[Row]:
    """What was told since, oldest first; all of it, or only what nobody ticked off."""
    unticked = " AND t.notice IS NULL" if open_only else ""
    return db.execute(
        f"{_NOTICE} WHERE n.site = ? AND n.n > ?{unticked} ORDER BY n.n LIMIT ?",
        (site, after, limit),
    ).fetchall()


def known(db: sqlite3.Connection, site: str, numbers: Iterable[int]) -> list[Row]:
    """The notices of these numbers, as far as there are any."""
    asked = sorted(set(numbers))
    marks = ", ".join("?" * len(asked))
    return db.execute(
        f"{_NOTICE} WHERE n.site = ? AND n.n IN ({marks}) ORDER BY n.n", (site, *asked)
    ).fetchall()


def tick(
    db: sqlite3.Connection, site: str, numbers: Iterable[int], *, by: str, at: str, words: str
) -> None:
    """Note that somebody at the desk has seen to these."""
    db.executemany(
        "INSERT INTO notice_tick (site, notice, ticked_by, at, words) VALUES (?, ?, ?, ?, ?)",
        [(site, number, by, at, words) for number in numbers],
    )
