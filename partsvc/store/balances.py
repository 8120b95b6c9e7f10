"""The stored balances: what lies where, kept by the database in every act's transaction."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator

from partsvc.domain.ledger import Holding, Spot
from partsvc.domain.places import Condition, Place
from partsvc.store.database import Row

_COLUMNS = "account, place, part, condition, lot, quantity"


def of_account(db: sqlite3.Connection, site: str, account: str) -> list[Holding]:
    """Everything that lies anywhere in one account."""
    rows = db.execute(
        f"SELECT {_COLUMNS} FROM balance WHERE site = ? AND account = ? AND quantity > 0",
        (site, account),
    )
    return list(holdings_of(rows))


def in_store(db: sqlite3.Connection, site: str, parts: Iterable[str]) -> list[Holding]:
    """What the workshop's own account has of these parts."""
    asked = sorted(set(parts))
    if not asked:
        return []
    marks = ", ".join("?" * len(asked))
    rows = db.execute(
        f"SELECT {_COLUMNS} FROM balance WHERE site = ? AND account = 'workshop'"
        f" AND quantity > 0 AND part IN ({marks})",
        (site, *asked),
    )
    return list(holdings_of(rows))


def holdings_of(rows: Iterable[Row]) -> Iterator[Holding]:
    """The holdings in rows that have a balance's columns."""
    for row in rows:
        spot = Spot(
            row["account"], Place.parse(row["place"]), Condition(row["condition"]), row["lot"]
        )
        yield Holding(row["part"], spot, row["quantity"])


def stock_levels(db: sqlite3.Connection, site: str, *, after: str, limit: int) -> list[Row]:
    """How many of each part the store holds, by number."""
    return db.execute(
        "SELECT part, sum(quantity) AS quantity FROM balance WHERE site = ?"
        " AND account = 'workshop' AND place = 'stock:main' AND part > ? AND quantity > 0"
        " GROUP BY part ORDER BY part LIMIT ?",
        (site, after, limit),
    ).fetchall()


def in_bag(db: sqlite3.Connection, site: str, account: str, code: str) -> list[Holding]:
    """What lies in one bag."""
    rows = db.execute(
        f"SELECT {_COLUMNS} FROM balance WHERE site = ? AND account = ? AND place = ?"
        " AND quantity > 0",
        (site, account, f"bag:{code}"),
    )
    return list(holdings_of(rows))
