"""What is read over the books of many jobs: what is away, what passed between two, bay strays."""

from __future__ import annotations

import json
import sqlite3
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

from partsvc.domain.job_state import Happened
from partsvc.domain.ledger import Holding
from partsvc.store.acts import effect_of
from partsvc.store.balances import holdings_of
from partsvc.store.database import Row

# Effects of acts that still hold: neither reversed, nor anything that has to look back.
_LIVE = (
    "NOT EXISTS (SELECT 1 FROM act r WHERE r.site = a.site AND r.account = a.account"
    " AND r.reverses = a.key)"
)
_EFFECT = (
    "SELECT e.account, e.seq, e.n, e.kind, e.text, a.key, a.done_by, a.recorded_by, a.done_at"
    " FROM effect e JOIN act a ON a.site = e.site AND a.account = e.account AND a.seq = e.seq"
)


def said_elsewhere(db: sqlite3.Connection, site: str, account: str) -> list[Row]:
    """What other books say was lent to this one or borrowed from it, with their job's number."""
    return db.execute(
        "SELECT e.account, e.kind, e.text, a.done_by, a.done_at, coalesce(j.number, 0) AS number"
        " FROM effect e JOIN act a ON a.site = e.site AND a.account = e.account AND a.seq = e.seq"
        " LEFT JOIN job j ON j.site = e.site AND j.id = e.account"
        " WHERE e.site = :site AND json_extract(e.text, '$.other') = :account"
        f" AND (e.kind = 'lent' OR e.kind = 'borrowed') AND {_LIVE}"
        " ORDER BY a.received_at, e.account, e.seq, e.n",
        {"site": site, "account": account},
    ).fetchall()


def named_job(db: sqlite3.Connection, site: str, named: str) -> Row | None:
    """A job by its id, or by the number people call it by."""
    number = int(named) if named.isascii() and named.isdigit() and len(named) < 16 else -1
    found: Row | None = db.execute(
        "SELECT id, number, state FROM job WHERE site = ? AND (id = ? OR number = ?)",
        (site, named, number),
    ).fetchone()
    return found


def away(db: sqlite3.Connection, site: str) -> list[Row]:
    """All that is out of the house over all jobs, with the job's name."""
    return db.execute(
        "SELECT b.account, b.place, b.part, b.condition, b.lot, b.quantity, j.number, j.title,"
        " j.state FROM balance b JOIN job j ON j.site = b.site AND j.id = b.account"
        " WHERE b.site = ? AND b.quantity > 0 AND b.place >= 'away:' AND b.place < 'away;'"
        " ORDER BY b.place, b.account",
        (site,),
    ).fetchall()


def said_of_away(
    db: sqlite3.Connection, site: str, accounts: Iterable[str]
) -> Mapping[str, Sequence[Happened]]:
    """What was said when pieces of these jobs were sent out, and which of them stay."""
    wanted = " AND e.kind IN ('sent-away', 'stays-away')"
    return _by_account(db, site, accounts, wanted)


def effects_of(
    db: sqlite3.Connection, site: str, accounts: Iterable[str]
) -> Mapping[str, Sequence[Happened]]:
    """All effects of these jobs that still hold, in the order of each book."""
    return _by_account(db, site, accounts, "")


def _by_account(
    db: sqlite3.Connection, site: str, accounts: Iterable[str], wanted: str
) -> Mapping[str, Sequence[Happened]]:
    rows = db.execute(
        f"{_EFFECT} WHERE e.site = :site AND e.account IN (SELECT value FROM json_each(:asked))"
        f"{wanted} AND {_LIVE}",
        {"site": site, "asked": json.dumps(sorted(set(accounts)))},
    )
    found: dict[str, list[Happened]] = defaultdict(list)
    # Sorted here: asked to sort, the database would walk through all effects of each book.
    for row in sorted(rows, key=lambda one: (one["seq"], one["n"])):
        found[row["account"]].append(
            Happened(
                row["seq"],
                row["key"],
                row["done_by"],
                row["done_at"],
                effect_of(row),
                row["recorded_by"],
            )
        )
    return found


def books_of(
    db: sqlite3.Connection, site: str, accounts: Iterable[str]
) -> Mapping[str, Sequence[Holding]]:
    """Everything that lies anywhere in these accounts."""
    rows = db.execute(
        "SELECT account, place, part, condition, lot, quantity FROM balance WHERE site = ?"
        " AND account IN (SELECT value FROM json_each(?)) AND quantity > 0",
        (site, json.dumps(sorted(set(accounts)))),
    )
    found: dict[str, list[Holding]] = defaultdict(list)
    for held in holdings_of(rows):
        found[held.spot.account].append(held)
    return found


def in_bags(db: sqlite3.Connection, site: str, account: str) -> list[Holding]:
    """What lies in the bags of an account."""
    rows = db.execute(
        "SELECT account, place, part, condition, lot, quantity FROM balance WHERE site = ?"
        " AND account = ? AND place >= 'bag:' AND place < 'bag;' AND quantity > 0",
        (site, account),
    )
    return list(holdings_of(rows))


def strays(db: sqlite3.Connection, site: str, account: str) -> Sequence[Happened]:
    """What was said of the strays of an account when they were found."""
    return _by_account(db, site, [account], " AND e.kind = 'stray-found'").get(account, ())


def jobs_at_hand(db: sqlite3.Connection, site: str, *, released_since: str) -> list[Row]:
    """The jobs a piece on the floor could be of: the open ones, and those released since a day."""
    return db.execute(
        "SELECT id, number, title, state, procedure, revision FROM job"
        " WHERE site = :site AND state = 'open'"
        " UNION SELECT j.id, j.number, j.title, j.state, j.procedure, j.revision FROM act a"
        " CROSS JOIN effect e CROSS JOIN job j"
        " WHERE a.site = :site AND a.kind = 'note' AND a.received_at >= :since"
        " AND e.site = a.site AND e.account = a.account AND e.seq = a.seq"
        " AND j.site = a.site AND j.id = json_extract(e.text, '$.job')"
        " AND e.kind IN ('job-released', 'job-handed-over') ORDER BY 2",
        {"site": site, "since": released_since},
    ).fetchall()


def revision_texts(
    db: sqlite3.Connection, site: str, wanted: Iterable[tuple[str, int]]
) -> Mapping[tuple[str, int], str]:
    """The texts of these revisions of procedures."""
    pairs = sorted({(name, number) for name, number in wanted if name})
    rows = db.execute(
        "SELECT r.procedure, r.number, r.text FROM revision r JOIN json_each(:asked) pair"
        " ON r.procedure = json_extract(pair.value, '$[0]')"
        " AND r.number = json_extract(pair.value, '$[1]') WHERE r.site = :site",
        {"site": site, "asked": json.dumps(pairs)},
    )
    return {(row["procedure"], row["number"]): row["text"] for row in rows}
