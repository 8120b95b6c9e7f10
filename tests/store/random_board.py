"""A board with pockets among the blank tags of a rough week."""

from __future__ import annotations

from ledger_bench import Bench

from partsvc.domain import tagcode
from partsvc.store import boards

POCKETS = 3


def a_board(bench: Bench) -> None:
    """A board lies about with the blank bags, each of its pockets to be scanned like a bag."""
    codes = [tagcode.from_number(n * 77_777 + 11) for n in range(900, 901 + POCKETS)]
    with bench.service.database.writing() as db:
        boards.add_board(
            db, bench.service.site, codes, words="board", job="", at="2030-01-01T00:00:00.000Z"
        )
    bench.tags.extend(codes)
