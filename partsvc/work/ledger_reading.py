"""The ledger as it is read: pages of acts, and whole files that can be verified elsewhere.

A file's lines hold the stored text of each act, byte for byte, with its hash: whoever has the file
can compute the chain anew without this service.
"""

from __future__ import annotations

import csv
import io
import json
import sqlite3
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.codes import read_code
from partsvc.domain.canonical import CHAIN_START
from partsvc.domain.desk import WORKSHOP
from partsvc.domain.ledger_file import ledger_lines
from partsvc.domain.people_words import named
from partsvc.domain.records import Between, Code, Id, Length, Name, Says
from partsvc.store import acts as act_store
from partsvc.store import people
from partsvc.store.acts import LedgerFilter
from partsvc.store.database import Row
from partsvc.work import naming, refusals
from partsvc.work.facts import job_row
from partsvc.work.refusals import Ending
from partsvc.work.service import Service

_AT_ONCE = 500

CSV_HEAD = (
    "seq", "done_at", "received_at", "kind", "by", "recorded_by", "step", "part", "quantity",
    "from", "from_condition", "to", "to_condition", "lot", "key", "hash",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerWanted:
    """Which acts of a ledger are asked for; what is left out asks for all."""

    step: Annotated[Id | None, Says("acts on this step")] = None
    bag: Annotated[Code | None, Says("acts that moved from, into or looked into this bag")] = None
    part: Annotated[Name | None, Says("acts that moved this part")] = None
    person: Annotated[Id | None, Says("acts done by this person")] = None
    kind: Annotated[Id | None, Says("acts of this kind")] = None
    after: Annotated[int, Between(0, 2**53 - 1), Says("acts after this number")] = 0
    limit: Annotated[int, Between(1, 500)] = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class ActShown:
    """One act as it stands in the ledger."""

    seq: int
    hash: str
    act: Annotated[Mapping[str, object], Says("the act itself, as it was recorded")]


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerPage:
    """A page of a ledger, oldest first."""

    account: str
    acts: tuple[ActShown, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RefusedWanted:
    """Which refused acts are asked for, oldest first."""

    cursor: Annotated[str, Length(0, 80), Says("from the Link of the page before")] = ""
    limit: Annotated[int, Between(1, 200)] = 50


@dataclass(frozen=True, slots=True, kw_only=True)
class RefusedShown:
    """An act that was refused: who sent it, when, and why it was not taken."""

    id: str
    at: str
    key: str
    kind: str
    by: str
    recorded_by: str
    sent_by: str
    reason: str
    detail: str
    request: Annotated[Mapping[str, object], Says("the act as it was sent")]
    queued: Annotated[bool, Says("a device had it in its queue: it waits until it has ended")]
    ended: Annotated[Ending | None, Says("how it ended; left out while it has not")] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RefusedPage:
    """A page of refused acts."""

    refused: tuple[RefusedShown, ...]
    next_cursor: Annotated[str, Says("empty on the last page")] = ""


def page(service: Service, account: str, wanted: LedgerWanted) -> LedgerPage:
    """A page of the ledger of a job, or of the workshop's own account."""
    with service.database.reading() as db:
        _there(service, db, account)
        rows = act_store.ledger(db, service.site, account, _filter(wanted))
    return LedgerPage(account=account, acts=tuple(map(_shown, rows)))


def _filter(wanted: LedgerWanted) -> LedgerFilter:
    return LedgerFilter(
        step=wanted.step or "",
        bag=read_code(wanted.bag, "bag") if wanted.bag else "",
        part=wanted.part or "",
        person=wanted.person or "",
        kind=wanted.kind or "",
        after_seq=wanted.after,
        limit=wanted.limit,
    )


def _there(service: Service, db: sqlite3.Connection, account: str) -> None:
    if account != WORKSHOP:
        job_row(service, db, account)


def _shown(row: Row) -> ActShown:
    return ActShown(seq=row["seq"], hash=row["hash"], act=json.loads(row["text"]))


def ledger_file(service: Service, account: str) -> str:
    """The whole ledger, one JSON object a line: a head line, every act, a foot line."""
    with service.database.reading() as db:
        _there(service, db, account)
        head = act_store.head(db, service.site, account) or (0, CHAIN_START)
        acts = ((row["seq"], row["hash"], row["text"]) for row in _all_acts(service, db, account))
        return "".join(ledger_lines(account, service.site, acts, head=head))


def ledger_csv(service: Service, account: str) -> str:
    """The whole ledger as a table, one line for each movement of pieces."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(CSV_HEAD)
    with service.database.reading() as db:
        _there(service, db, account)
        for row in _all_acts(service, db, account):
            for line in _csv_lines(row):
                writer.writerow([_harmless(cell) for cell in line])
    return out.getvalue()


def _all_acts(service: Service, db: sqlite3.Connection, account: str) -> Iterator[Row]:
    after = 0
    while rows := act_store.ledger(
        db, service.site, account, LedgerFilter(after_seq=after, limit=_AT_ONCE)
    ):
        yield from rows
        after = rows[-1]["seq"]


def _csv_lines(row: Row) -> Iterator[tuple[object, ...]]:
    act = json.loads(row["text"])
    said = [act[name] for name in ("seq", "done_at", "received_at", "kind", "by", "recorded_by")]
    for entry in act["entries"] or [None]:
        moved = _movement(entry) if entry else ("",) * 7
        yield (*said, act.get("step", ""), *moved, act["key"], row["hash"])


def _movement(entry: Mapping[str, Mapping[str, str]]) -> tuple[object, ...]:
    source, target = entry["from"], entry["to"]
    return (
        entry["part"],
        entry["quantity"],
        source["place"],
        source["condition"],
        target["place"],
        target["condition"],
        target["lot"],
    )


def _harmless(cell: object) -> object:
    """A cell that no table program takes for a formula."""
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(tuple("=+-@\t\r")) else cell


def refused_page(service: Service, account: str, wanted: RefusedWanted) -> RefusedPage:
    """A page of the acts of a job that were refused, oldest first."""
    with service.database.reading() as db:
        _there(service, db, account)
        rows = people.refused(db, service.site, account, after=wanted.cursor, limit=wanted.limit)
        ended = refusals.endings(service, db, account, {row["key"] for row in rows})
    following = rows[-1]["cursor"] if len(rows) == wanted.limit else ""
    names = naming.names(service)
    shown = tuple(_refused(row, ended.get(row["key"]), names) for row in rows)
    return RefusedPage(refused=shown, next_cursor=following)


def _refused(row: Row, ended: Ending | None, names: Mapping[str, str]) -> RefusedShown:
    return RefusedShown(
        id=row["id"],
        at=row["at"],
        key=row["key"],
        kind=row["kind"],
        by=row["done_by"],
        recorded_by=row["recorded_by"],
        sent_by=row["sent_by"],
        reason=row["reason"],
        detail=named(row["detail"], names),
        request=json.loads(row["text"]),
        queued=bool(row["queued"]),
        ended=ended,
    )
