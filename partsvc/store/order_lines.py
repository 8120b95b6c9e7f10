"""Order lines and what was noted on them: written once, read back in the order of noting."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Mapping
from dataclasses import replace
from decimal import Decimal

from partsvc.domain.order_lines import LineEvent, LineFacts, LineKind, Noted, plain
from partsvc.store.database import Row

Lines = Mapping[LineFacts, tuple[LineEvent, ...]]

_EVENT = (
    "e.n AS event_n, e.event, e.noted_by, e.at, e.amount, e.reference, e.promised, e.came,"
    " e.accepted, e.words, e.act"
)
_LINE = f"SELECT l.id, l.account, l.kind, l.what, l.unit, {_EVENT} FROM order_line l"
_EVENTS = " JOIN order_event e ON e.site = l.site AND e.line = l.id"


def of_job(db: sqlite3.Connection, site: str, account: str) -> Lines:
    """All order lines of a job with their history, in the order in which they were asked for."""
    return _gathered(
        db.execute(
            f"{_LINE}{_EVENTS} WHERE l.site = ? AND l.account = ? ORDER BY l.n, e.n",
            (site, account),
        )
    )


def of_open_jobs(db: sqlite3.Connection, site: str) -> Lines:
    """All order lines of the jobs that are worked on."""
    return _gathered(
        db.execute(
            f"{_LINE} JOIN job j ON j.site = l.site AND j.id = l.account{_EVENTS}"
            " WHERE l.site = ? AND j.state = 'open' ORDER BY j.number, l.n, e.n",
            (site,),
        )
    )


def line(
    db: sqlite3.Connection, site: str, ident: str
) -> tuple[LineFacts, tuple[LineEvent, ...]] | None:
    """One order line with its history."""
    found = _gathered(
        db.execute(
            f"{_LINE}{_EVENTS} WHERE l.site = ? AND l.id = ? ORDER BY e.n",
            (site, ident),
        )
    )
    return next(iter(found.items()), None)


def _gathered(rows: Iterable[Row]) -> dict[LineFacts, tuple[LineEvent, ...]]:
    found: dict[LineFacts, tuple[LineEvent, ...]] = {}
    for row in rows:
        facts = LineFacts(
            id=row["id"],
            job=row["account"],
            kind=LineKind(row["kind"]),
            what=row["what"],
            unit=row["unit"],
        )
        found[facts] = (*found.get(facts, ()), _event(row))
    return found


def _event(row: Row) -> LineEvent:
    return LineEvent(
        n=row["event_n"],
        event=Noted(row["event"]),
        by=row["noted_by"],
        at=row["at"],
        amount=Decimal(row["amount"]),
        reference=row["reference"],
        promised=row["promised"],
        came=row["came"],
        accepted=bool(row["accepted"]),
        words=row["words"],
        act=row["act"],
    )


def add_line(db: sqlite3.Connection, site: str, facts: LineFacts) -> None:
    """A new line of a job, after those that are there."""
    db.execute(
        "INSERT INTO order_line (site, id, account, n, kind, what, unit)"
        " VALUES (?, ?, ?, (SELECT coalesce(max(n), 0) + 1 FROM order_line"
        "  WHERE site = ? AND account = ?), ?, ?, ?)",
        (site, facts.id, facts.job, site, facts.job, facts.kind.value, facts.what, facts.unit),
    )


def add_event(db: sqlite3.Connection, site: str, ident: str, event: LineEvent) -> LineEvent:
    """Note something on a line, after all that was noted before; answers it with its number."""
    row = db.execute(
        "SELECT coalesce(max(n), 0) + 1 AS n FROM order_event WHERE site = ? AND line = ?",
        (site, ident),
    ).fetchone()
    numbered = replace(event, n=row["n"])
    db.execute(
        "INSERT INTO order_event (site, line, n, event, noted_by, at, amount, reference, promised,"
        " came, accepted, words, act) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (
            site, ident, numbered.n, event.event.value, event.by, event.at, plain(event.amount),
            event.reference, event.promised, event.came, int(event.accepted), event.words,
            event.act,
        ),
    )  # fmt: skip
    return numbered
