"""Addresses of the ledger: pages, whole files to verify or to calculate with, refused acts."""

from __future__ import annotations

from flask import Response

from partsvc.api.files import CSV, LINES, file, rather
from partsvc.api.paging import LINK_HEADER, next_page
from partsvc.api.room import Room
from partsvc.domain.acts.kinds import ALL, WORKSHOP
from partsvc.errors import Invalid
from partsvc.web.running import service
from partsvc.work import ledger_reading as ledger
from partsvc.work.ledger_reading import LedgerPage, LedgerWanted, RefusedPage, RefusedWanted

room = Room("ledger", __name__, description="The ledger: what was recorded, in its order.")


@room.at(
    "GET", "/jobs/<job>/ledger", roles=ALL, asks=LedgerWanted, gives=LedgerPage,
    also=LINES, headers=LINK_HEADER,
)  # fmt: skip
def get_ledger(job: str, *, asked: LedgerWanted) -> Response | tuple[LedgerPage, dict[str, str]]:
    """Read the ledger of a job, oldest act first

    With `Accept: application/x-ndjson` the whole ledger as a file, as at `…/ledger.jsonl`.
    """
    return _ledger(job, asked)


@room.at(
    "GET", "/workshop/ledger", roles=ALL, asks=LedgerWanted, gives=LedgerPage,
    also=LINES, headers=LINK_HEADER,
)  # fmt: skip
def get_workshop_ledger(*, asked: LedgerWanted) -> Response | tuple[LedgerPage, dict[str, str]]:
    """Read the ledger of the workshop's own account"""
    return _ledger(WORKSHOP, asked)


def _ledger(account: str, asked: LedgerWanted) -> Response | tuple[LedgerPage, dict[str, str]]:
    if rather(LINES):
        if asked != LedgerWanted():
            raise Invalid("A ledger file is whole: leave the parameters out.", field="Accept")
        return file(ledger.ledger_file(service(), account), LINES)
    page = ledger.page(service(), account, asked)
    full = len(page.acts) == asked.limit
    return page, next_page("after", page.acts[-1].seq if full else None)


@room.at("GET", "/jobs/<job>/ledger.jsonl", roles=ALL, gives=LINES)
def get_ledger_file(job: str) -> Response:
    """Take the whole ledger of a job as a file that can be verified elsewhere

    The first line names the format, the account and where the chain starts; each further line
    holds an act's stored text with its hash; the last line holds the head.
    """
    return file(ledger.ledger_file(service(), job), LINES)


@room.at("GET", "/workshop/ledger.jsonl", roles=ALL, gives=LINES)
def get_workshop_ledger_file() -> Response:
    """Take the whole ledger of the workshop's own account as a file"""
    return file(ledger.ledger_file(service(), WORKSHOP), LINES)


@room.at("GET", "/jobs/<job>/ledger.csv", roles=ALL, gives=CSV)
def get_ledger_table(job: str) -> Response:
    """Take the whole ledger of a job as a table, one line for each movement"""
    return file(ledger.ledger_csv(service(), job), CSV)


@room.at(
    "GET", "/jobs/<job>/refused", roles=ALL, asks=RefusedWanted, gives=RefusedPage,
    headers=LINK_HEADER,
)  # fmt: skip
def get_refused(job: str, *, asked: RefusedWanted) -> tuple[RefusedPage, dict[str, str]]:
    """List the acts of a job that were refused, oldest first"""
    page = ledger.refused_page(service(), job, asked)
    return page, next_page("cursor", page.next_cursor)
