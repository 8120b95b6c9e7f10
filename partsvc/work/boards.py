"""Boards and trays with numbered pockets, each pocket with a tag of its own."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Annotated

from labels.tag import Pocket
from partsvc.domain.desk import shown_bag
from partsvc.domain.records import Between, Id, Line, Says
from partsvc.store import boards
from partsvc.store.database import Row
from partsvc.work.facts import job_row
from partsvc.work.service import Service
from partsvc.work.tag_faces import faces_of, link_of
from partsvc.work.tagging import TagLine, new_codes, sheet_of_tags, stock_of, tag_row, tray_sheet


@dataclass(frozen=True, slots=True, kw_only=True)
class NewBoard:
    """A board or tray to mint: its own tag, and one for each of its pockets."""

    pockets: Annotated[int, Between(1, 100), Says("how many pockets it has")]
    words: Annotated[Line, Says("what it is called, as in: pattern board, pack bolts")]
    job: Annotated[Id | None, Says("for this job; blank until first used if left out")] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PocketLine:
    """The tag of one pocket."""

    number: int
    code: str
    shown: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardMade:
    """A board that was minted."""

    board: TagLine
    pockets: tuple[PocketLine, ...]


def mint_board(service: Service, db: sqlite3.Connection, given: NewBoard) -> BoardMade:
    """A new board; scanning one of its pockets is like scanning a bag."""
    if given.job is not None:
        job_row(service, db, given.job)
    codes = new_codes(service, db, given.pockets + 1)
    job, words = given.job or "", given.words
    boards.add_board(db, service.site, codes, words=words, job=job, at=service.stamp())
    board, *pockets = codes
    return BoardMade(
        board=TagLine(code=board, shown=shown_bag(board), job=job, position="", words=words),
        pockets=tuple(
            PocketLine(number=number, code=code, shown=shown_bag(code))
            for number, code in enumerate(pockets, start=1)
        ),
    )


def sheet_of_board(service: Service, typed: str, *, stock: str, start_at: int) -> bytes:
    """The tags of a board and of its pockets that are still good, as a PDF of label sheets.

    On a stock for trays it is one tag that shows all pockets; on any other each has its own label.
    """
    with service.database.reading() as db:
        board = tag_row(service, db, typed)["code"]
        rows = boards.pockets(db, service.site, [board])
        label = stock_of(stock)
        if label.pockets:
            (face,) = faces_of(service, db, [tag_row(service, db, board)])
            return tray_sheet(replace(face, pockets=_on_the_tray(service, rows)), label)
    codes = [board, *(row["code"] for row in rows if not row["void_reason"])]
    return sheet_of_tags(service, codes, stock=stock, start_at=start_at)


def _on_the_tray(service: Service, rows: Sequence[Row]) -> tuple[Pocket, ...]:
    return tuple(
        Pocket(row["pocket"], row["code"], link_of(service, row["code"]))
        for row in rows
        if not row["void_reason"]
    )
