"""Reads what an act on bags is judged by: the pockets of boards, and what the store has of it."""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from dataclasses import replace

from partsvc.domain.accepted_numbers import successors
from partsvc.domain.acts.kinds import ActKind, Needs
from partsvc.domain.desk import Desk
from partsvc.domain.places import bag
from partsvc.store import balances, boards, keeping
from partsvc.work.facts import tag_facts
from partsvc.work.service import Service


def with_bags(
    service: Service,
    db: sqlite3.Connection,
    desk: Desk,
    kind: ActKind,
    request: object,
    codes: tuple[str, ...],
) -> Desk:
    """The desk, knowing of the bags an act names what its kind says it needs."""
    if Needs.BOARDS in kind.needs:
        desk = _with_boards(service, db, desk, codes)
    if Needs.BAG_IN_STORE in kind.needs:
        code = getattr(request, "bag", None) or ""
        inside = {held.part for held in desk.book.at(bag(code))}
        parts = inside | {new for one in inside for new, _ in successors(one, desk.parts)}
        known = {held.part for held in desk.book.holdings() if held.spot.account == "workshop"}
        for held in balances.in_store(db, service.site, parts - known):
            desk.book.hold(held)
    return desk


def with_pockets(service: Service, db: sqlite3.Connection, desk: Desk) -> Desk:
    """The desk, knowing which of the job's tags are on which pocket, for those who read of it."""
    return replace(desk, pockets=boards.of_job(db, service.site, desk.account))


def _with_boards(
    service: Service, db: sqlite3.Connection, desk: Desk, codes: tuple[str, ...]
) -> Desk:
    found: dict[str, list[str]] = defaultdict(list)
    for row in boards.pockets(db, service.site, codes):
        found[row["board"]].append(row["code"])
    pockets = [code for board in found.values() for code in board]
    rows = keeping.tags(db, service.site, pockets)
    facts = {row["code"]: tag_facts(service, db, row, desk.account) for row in rows}
    return replace(
        desk,
        tags={**facts, **desk.tags},
        boards={board: tuple(own) for board, own in found.items()},
    )
