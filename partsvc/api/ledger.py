"""Addresses of the ledger: pages, whole files to verify or to calculate with, refused acts."""

from __future__ import annotations

from flask import Response, request

from partsvc.api.paging import LINK_HEADER, next_page
from partsvc.api.room import File, Room
from partsvc.api.running import service
from partsvc.domain.acts.registry import ALL, WORKSHOP
from partsvc.errors import Invalid
from partsvc.work import ledger_reading as ledger
from partsvc.work.ledger_reading import LedgerPage, LedgerWanted, RefusedPage, RefusedWanted

room = Room("ledger", __name__, description="The ledger: what was recorded, in its order.")

LINES = File(media_type="application/x-ndjson", says="One JSON object a line, to be verified.")
TABLE = File(media_type="text/csv", says="A table, one line for each movement.")


@room.at(
    "GET", "/jobs/<job>/ledger", roles=ALL, asks=LedgerWanted, gives=LedgerPage,
    headers=LINK_HEADER,
)  # fmt: skip
def get_ledger(job: str, *, asked: LedgerWanted) -> Response | tuple[LedgerPage, dict[str, str]]:
    """Read the ledger of a job, oldest act first

    With `Accept: application/x-ndjson` the whole ledger as a file, as at `…/ledger.jsonl`.
    """
    return _ledger(job, asked)


@room.at(
    "GET", "/workshop/ledger", roles=ALL, asks=LedgerWanted, gives=LedgerPage,
    headers=LINK_HEADER,
)  # fmt: skip
def get_workshop_ledger(*, asked: LedgerWanted) -> Response | tuple[LedgerPage, dict[str, str]]:
    """Read the ledger of the workshop's own account"""
    return _ledger(WORKSHOP, asked)


def _ledger(account: str, asked: LedgerWanted) -> Response | tuple[LedgerPage, dict[str, str]]:
    best = request.accept_mimetypes.best_match(["application/json", LINES.media_type])
    if best == LINES.media_type:
        if asked != LedgerWanted():
            raise Invalid("A ledger file is whole: leave the parameters out.", field="Accept")
        return _file(ledger.ledger_file(service(), account), LINES)
    page = ledger.page(service(), account, asked)
    full = len(page.acts) == asked.limit
    return page, next_page("after", page.acts[-1].seq if full else None)


def _file(text: str, kind: File) -> Response:
    return Response(text, content_type=f"{kind.media_type}; charset=utf-8")


@room.at("GET", "/jobs/<job>/ledger.jsonl", roles=ALL, gives=LINES)
def get_ledger_file(job: str) -> Response:
    """Take the whole ledger of a job as a file that can be verified elsewhere

    The first line names the format, the account and where the chain starts; each further line
    holds an act's stored text with its hash; the last line holds the head.
    """
    return _file(ledger.ledger_file(service(), job), LINES)


@room.at("GET", "/workshop/ledger.jsonl", roles=ALL, gives=LINES)
def get_workshop_ledger_file() -> Response:
    """Take the whole ledger of the workshop's own account as a file"""
    return _file(ledger.ledger_file(service(), WORKSHOP), LINES)


@room.at("GET", "/jobs/<job>/ledger.csv", roles=ALL, gives=TABLE)
def get_ledger_table(job: str) -> Response:
    """Take the whole ledger of a job as a table, one line for each movement"""
    return _file(ledger.ledger_csv(service(), job), TABLE)


@room.at(
    "GET", "/jobs/<job>/refused", roles=ALL, asks=RefusedWanted, gives=RefusedPage,
    headers=LINK_HEADER,
)  # fmt: skip
def get_refused(job: str, *, asked: RefusedWanted) -> tuple[RefusedPage, dict[str, str]]:
    """List the acts of a job that were refused, oldest first"""
    page = ledger.refused_page(service(), job, asked)
    return page, next_page("cursor", page.next_cursor)
