"""Boards and their pockets: which tag is on which pocket of which board."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Sequence

from partsvc.store.database import Row


def add_board(
    db: sqlite3.Connection, site: str, codes: Sequence[str], *, words: str, job: str, at: str
) -> None:
    """Mint a board: the first code is the board's own, the others are its pockets' in order."""
    board, *pockets = codes
    db.execute(
        "INSERT INTO tag (site, code, account, kind, words, minted_at)"
        " VALUES (?, ?, ?, 'board', ?, ?)",
        (site, board, job, words, at),
    )
    db.executemany(
        "INSERT INTO tag (site, code, account, kind, words, minted_at, board, pocket)"
        " VALUES (?, ?, ?, 'pocket', ?, ?, ?, ?)",
        [(site, code, job, words, at, board, n) for n, code in enumerate(pockets, start=1)],
    )


def pockets(db: sqlite3.Connection, site: str, boards: Iterable[str]) -> list[Row]:
    """The pockets of these boards, each board's in the order of their numbers."""
    asked = sorted(set(boards))
    if not asked:
        return []
    marks = ", ".join("?" * len(asked))
    return db.execute(
        "SELECT code, board, pocket, account, words, void_reason FROM tag"
        f" WHERE site = ? AND board IN ({marks}) AND board <> '' ORDER BY board, pocket",
        (site, *asked),
    ).fetchall()


def places(db: sqlite3.Connection, site: str, codes: Iterable[str]) -> dict[str, tuple[str, int]]:
    """For each of these tags that is on a pocket: its board, and its number there."""
    asked = sorted(set(codes))
    if not asked:
        return {}
    marks = ", ".join("?" * len(asked))
    rows = db.execute(
        f"SELECT code, board, pocket FROM tag WHERE site = ? AND code IN ({marks}) AND board <> ''",
        (site, *asked),
    )
    return {row["code"]: (row["board"], row["pocket"]) for row in rows}


def of_job(db: sqlite3.Connection, site: str, account: str) -> dict[str, tuple[str, int]]:
    """For each tag of a job that is on a pocket: its board, and its number there."""
    rows = db.execute(
        "SELECT code, board, pocket FROM tag WHERE site = ? AND account = ? AND board <> ''",
        (site, account),
    )
    return {row["code"]: (row["board"], row["pocket"]) for row in rows}


def claim(db: sqlite3.Connection, site: str, code: str, account: str) -> None:
    """A whole board becomes a job's for life with the first of its tags that is used."""
    db.execute(
        "UPDATE tag SET account = :account WHERE site = :site AND account = '' AND code IN ("
        " SELECT t.code FROM tag t JOIN tag used ON used.site = t.site AND used.code = :code"
        " WHERE t.site = :site AND (t.board = coalesce(nullif(used.board, ''), used.code)"
        "  OR t.code = used.board))",
        {"site": site, "code": code, "account": account},
    )
