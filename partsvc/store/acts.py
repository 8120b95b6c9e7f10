"""Acts, entries and effects: written once, read back in the ledger's order."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from partsvc.domain.desk import ActDone
from partsvc.domain.effects import Effect, from_plain, name_of, plain
from partsvc.domain.job_state import Happened
from partsvc.domain.ledger import Entry, Posted, Spot
from partsvc.domain.places import Condition, Place
from partsvc.store.database import Row

FORMAT = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class ActRow:
    """An act as it is written: its canonical text and the columns that index it."""

    account: str
    seq: int
    key: str
    kind: str
    done_by: str
    recorded_by: str
    sent_by: str
    done_at: str
    received_at: str
    text: str
    hash: str
    device_seq: int | None = None
    step: str = ""
    reverses: str = ""
    supervised_by: str = ""


def write_act(
    db: sqlite3.Connection,
    site: str,
    act: ActRow,
    *,
    entries: Sequence[Entry],
    effects: Sequence[Effect],
) -> None:
    """Append one act with its entries and effects; the database checks every piece of it."""
    db.execute(
        "INSERT INTO act (site, account, seq, key, kind, done_by, recorded_by, sent_by, done_at,"
        " device_seq, received_at, step, reverses, format, text, hash, supervised_by)"
        " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (
            site, act.account, act.seq, act.key, act.kind, act.done_by, act.recorded_by,
            act.sent_by, act.done_at, act.device_seq, act.received_at, act.step,
            act.reverses or None, FORMAT, act.text, act.hash, act.supervised_by,
        ),
    )  # fmt: skip
    for n, entry in enumerate(entries):
        db.execute(
            "INSERT INTO entry (site, account, seq, n, part, quantity, from_account, from_place,"
            " from_condition, from_lot, to_account, to_place, to_condition, to_lot, reversal)"
            " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            (
                site, act.account, act.seq, n, entry.part, entry.quantity,
                *_spot_columns(entry.source), *_spot_columns(entry.target),
                1 if act.reverses else 0,
            ),
        )  # fmt: skip
    for n, effect in enumerate(effects):
        db.execute(
            "INSERT INTO effect (site, account, seq, n, kind, text) VALUES (?, ?, ?, ?, ?, ?)",
            (site, act.account, act.seq, n, name_of(effect), _json(plain(effect))),
        )


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), sort_keys=True)


def _spot_columns(spot: Spot) -> tuple[str, str, str, str]:
    return (spot.account, str(spot.place), spot.condition.value, spot.lot)


def head(db: sqlite3.Connection, site: str, account: str) -> tuple[int, str] | None:
    """The number and hash of the newest act of an account; None if there is no such account."""
    row = db.execute(
        "SELECT head_seq, head FROM account WHERE site = ? AND id = ?", (site, account)
    ).fetchone()
    return (row["head_seq"], row["head"]) if row else None


def heads(db: sqlite3.Connection, site: str) -> dict[str, int]:
    """The number of the newest act, by account."""
    rows = db.execute("SELECT id, head_seq FROM account WHERE site = ?", (site,))
    return {row["id"]: row["head_seq"] for row in rows}


def add_account(db: sqlite3.Connection, site: str, account: str, *, kind: str, start: str) -> None:
    """Open an empty account."""
    db.execute(
        "INSERT INTO account (site, id, kind, head) VALUES (?, ?, ?, ?)",
        (site, account, kind, start),
    )


_REVERSED = (
    "SELECT reverses FROM act WHERE site = :site AND account = :account AND reverses IS NOT NULL"
)


def effects(db: sqlite3.Connection, site: str, account: str) -> list[Happened]:
    """All effects that still hold, in order: those of acts that were not reversed."""
    members = {"site": site, "account": account}
    rows = db.execute(f"{_EFFECTS} ORDER BY e.seq, e.n", members)
    return [_happened(row) for row in rows]


def effects_of_kind(
    db: sqlite3.Connection, site: str, account: str, kinds: Collection[str]
) -> list[Happened]:
    """The effects of a few kinds that still hold, in order."""
    named = {f"kind{n}": kind for n, kind in enumerate(kinds)}
    marks = ", ".join(f":{name}" for name in named)
    members = {"site": site, "account": account, **named}
    rows = db.execute(f"{_EFFECTS} AND e.kind IN ({marks}) ORDER BY e.seq, e.n", members)
    return [_happened(row) for row in rows]


_EFFECTS = (
    "SELECT e.seq, e.kind, e.text, a.key, a.done_by, a.recorded_by, a.supervised_by, a.done_at"
    " FROM effect e JOIN act a ON a.site = e.site AND a.account = e.account AND a.seq = e.seq"
    f" WHERE e.site = :site AND e.account = :account AND a.key NOT IN ({_REVERSED})"
)


def _happened(row: Row) -> Happened:
    return Happened(
        row["seq"],
        row["key"],
        row["done_by"],
        row["done_at"],
        effect_of(row),
        row["recorded_by"],
        row["supervised_by"],
    )


def effect_of(row: Row) -> Effect:
    """The effect in a row that holds its columns."""
    return from_plain(row["kind"], json.loads(row["text"]))


_ENTRY_COLUMNS = (
    "e.seq, e.part, e.quantity, e.from_account, e.from_place, e.from_condition, e.from_lot,"
    " e.to_account, e.to_place, e.to_condition, e.to_lot, a.key"
)


def posted(
    db: sqlite3.Connection, site: str, account: str, *, live_only: bool
) -> tuple[Posted, ...]:
    """The account's entries in order; `live_only` leaves out reversed acts and their reversals."""
    live = f" AND a.reverses IS NULL AND a.key NOT IN ({_REVERSED})" if live_only else ""
    rows = db.execute(
        f"SELECT {_ENTRY_COLUMNS} FROM entry e"
        " JOIN act a ON a.site = e.site AND a.account = e.account AND a.seq = e.seq"
        f" WHERE e.site = :site AND e.account = :account{live} ORDER BY e.seq, e.n",
        {"site": site, "account": account},
    )
    return tuple(map(_posted, rows))


def _posted(row: Row) -> Posted:
    return Posted(row["seq"], row["key"], entry_of(row))


def entry_of(row: Row) -> Entry:
    """The entry in a row that holds its columns."""
    source = Spot(
        row["from_account"],
        Place.parse(row["from_place"]),
        Condition(row["from_condition"]),
        row["from_lot"],
    )
    target = Spot(
        row["to_account"],
        Place.parse(row["to_place"]),
        Condition(row["to_condition"]),
        row["to_lot"],
    )
    return Entry(row["part"], row["quantity"], source, target)


def act_by_key(db: sqlite3.Connection, site: str, key: str) -> Row | None:
    """The act with this key, in whatever account, or None."""
    found: Row | None = db.execute(
        "SELECT account, seq, key, kind, done_by, reverses, hash FROM act"
        " WHERE site = ? AND key = ?",
        (site, key),
    ).fetchone()
    return found


def reversal_of(db: sqlite3.Connection, site: str, account: str, key: str) -> str:
    """The key of the act that reversed this one; empty if none did."""
    row = db.execute(
        "SELECT key FROM act WHERE site = ? AND account = ? AND reverses = ?",
        (site, account, key),
    ).fetchone()
    return row["key"] if row else ""


def entries_of_act(db: sqlite3.Connection, site: str, account: str, seq: int) -> tuple[Entry, ...]:
    """The entries of one act, in order."""
    rows = db.execute(
        "SELECT part, quantity, from_account, from_place, from_condition, from_lot, to_account,"
        " to_place, to_condition, to_lot FROM entry"
        " WHERE site = ? AND account = ? AND seq = ? ORDER BY n",
        (site, account, seq),
    )
    return tuple(map(entry_of, rows))


def acts_done(db: sqlite3.Connection, site: str, account: str) -> tuple[ActDone, ...]:
    """The acts of an account that still hold, without their pieces, in order."""
    rows = db.execute(
        "SELECT seq, key, kind, step, done_by, done_at FROM act"
        " WHERE site = :site AND account = :account AND reverses IS NULL"
        f" AND key NOT IN ({_REVERSED}) ORDER BY seq",
        {"site": site, "account": account},
    )
    return tuple(
        ActDone(
            seq=row["seq"],
            key=row["key"],
            kind=row["kind"],
            step=row["step"],
            by=row["done_by"],
            at=row["done_at"],
        )
        for row in rows
    )


def touched(db: sqlite3.Connection, site: str, account: str) -> dict[str, int]:
    """For each bag, the number of the last act that moved anything into or out of it."""
    rows = db.execute(
        "SELECT place, max(seq) AS seq FROM ("
        " SELECT to_place AS place, seq FROM entry WHERE site = :site AND account = :account"
        "  AND to_place LIKE 'bag:%'"
        " UNION ALL SELECT from_place, seq FROM entry WHERE site = :site AND account = :account"
        "  AND from_place LIKE 'bag:%') GROUP BY place",
        {"site": site, "account": account},
    )
    return {row["place"]: row["seq"] for row in rows}


def came_off(db: sqlite3.Connection, site: str, account: str) -> frozenset[str]:
    """The positions that pieces ever left, for a bag or only loosened."""
    rows = db.execute(
        "SELECT DISTINCT from_place FROM entry WHERE site = ? AND from_account = ?"
        " AND from_place >= 'secured:' AND from_place < 'secured;'",
        (site, account),
    )
    return frozenset(row["from_place"].partition(":")[2] for row in rows)


# The kinds of act by which pieces are put back: whoever does them has worked on the vehicle.
_PUT_BACK = "('fit', 'secure')"


def workers(db: sqlite3.Connection, site: str, account: str) -> frozenset[str]:
    """Everybody who put anything back on a job, reversed or not, recorded it or stood by."""
    rows = db.execute(
        "SELECT DISTINCT done_by, recorded_by, supervised_by FROM act"
        f" WHERE site = ? AND account = ? AND kind IN {_PUT_BACK}",
        (site, account),
    )
    return frozenset(person for row in rows for person in row if person)


def worked_at(
    db: sqlite3.Connection, site: str, account: str, positions: Collection[str]
) -> dict[str, frozenset[str]]:
    """For each position everybody who put pieces in or secured them, recorded it or stood by."""
    found: dict[str, set[str]] = {position: set() for position in positions}
    places = [f"{kind}:{position}" for position in found for kind in ("loose", "secured")]
    rows = db.execute(
        "SELECT DISTINCT e.to_place, a.done_by, a.recorded_by, a.supervised_by FROM entry e"
        " JOIN act a ON a.site = e.site AND a.account = e.account AND a.seq = e.seq"
        f" WHERE e.site = ? AND e.to_account = ? AND e.to_place IN ({_marks(places)})"
        f" AND a.kind IN {_PUT_BACK}",
        (site, account, *places),
    )
    for place, *people in rows:
        found[place.partition(":")[2]].update(person for person in people if person)
    return {position: frozenset(people) for position, people in found.items()}


def _marks(values: Collection[object]) -> str:
    return ", ".join("?" for _ in values)


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerFilter:
    """Which acts of a ledger are asked for; empty members ask for all."""

    step: str = ""
    bag: str = ""
    part: str = ""
    person: str = ""
    kind: str = ""
    after_seq: int = 0
    limit: int = 200


def ledger(db: sqlite3.Connection, site: str, account: str, wanted: LedgerFilter) -> list[Row]:
    """The acts asked for, oldest first, each with its stored text and hash."""
    where = ["site = :site", "account = :account", "seq > :after"]
    members: dict[str, str | int] = {
        "site": site, "account": account, "after": wanted.after_seq, "limit": wanted.limit,
    }  # fmt: skip
    inside = "SELECT 1 FROM entry e WHERE e.site = act.site AND e.account = act.account"
    clauses = (
        (wanted.person, "done_by = :person", {"person": wanted.person}),
        (wanted.kind, "kind = :kind", {"kind": wanted.kind}),
        (wanted.step, "step = :step", {"step": wanted.step}),
        (wanted.part, f"EXISTS ({inside} AND e.seq = act.seq AND e.part = :part)",
         {"part": wanted.part}),
        (wanted.bag,
         "(seq IN (SELECT seq FROM entry WHERE site = :site AND account = :account"
         "  AND :bag IN (from_place, to_place))"
         " OR seq IN (SELECT seq FROM effect WHERE site = :site AND account = :account"
         "  AND json_extract(text, '$.bag') = :code))",
         {"bag": f"bag:{wanted.bag}", "code": wanted.bag}),
    )  # fmt: skip
    for asked, clause, values in clauses:
        if asked:
            where.append(clause)
            members.update(values)
    rows = db.execute(
        "SELECT seq, key, kind, text, hash, step FROM act WHERE "
        + " AND ".join(where)
        + " ORDER BY seq LIMIT :limit",
        members,
    )
    return rows.fetchall()


@dataclass(frozen=True, slots=True, kw_only=True)
class StripAct:
    """When a position was worked at while stripping: what the refit order is made from."""

    seq: int
    place: str
    done_at: str
    device: str
    device_seq: int | None


def strip_acts(db: sqlite3.Connection, site: str, account: str) -> Iterable[StripAct]:
    """The acts that took pieces off or loosened them, and holds and ticks, in ledger order."""
    rows = db.execute(
        "SELECT a.seq, coalesce(e.from_place, 'step:' || a.step) AS place, a.done_at, a.sent_by,"
        " a.device_seq FROM act a"
        " LEFT JOIN entry e ON e.site = a.site AND e.account = a.account AND e.seq = a.seq"
        " AND e.from_place NOT LIKE 'outside:%'"
        " WHERE a.site = :site AND a.account = :account"
        " AND a.kind IN ('loosen', 'remove', 'missing', 'done', 'hold', 'put-on')"
        f" AND a.key NOT IN ({_REVERSED}) ORDER BY a.seq",
        {"site": site, "account": account},
    )
    return [
        StripAct(
            seq=row["seq"],
            place=row["place"],
            done_at=row["done_at"],
            device=row["sent_by"],
            device_seq=row["device_seq"],
        )
        for row in rows
    ]
