"""Addresses of procedures and their revisions."""

from __future__ import annotations

from partsvc.api.paging import LINK_HEADER, next_page
from partsvc.api.room import Room
from partsvc.domain.acts.kinds import ALL, Role
from partsvc.domain.plan import Plan
from partsvc.web.running import sender, service
from partsvc.work import procedures
from partsvc.work.answers import Writing
from partsvc.work.procedures import ByKey, ProceduresPage, RevisionShown

room = Room("procedures", __name__, description="Procedures: numbered revisions, never changed.")


@room.at("GET", "/procedures", roles=ALL, asks=ByKey, gives=ProceduresPage, headers=LINK_HEADER)
def get_procedures(*, asked: ByKey) -> tuple[ProceduresPage, dict[str, str]]:
    """List procedures, each in its newest revision"""
    page = procedures.page(service(), asked)
    full = len(page.procedures) == asked.limit
    return page, next_page("after", page.procedures[-1].procedure if full else None)


@room.at(
    "POST", "/procedures", roles=frozenset({Role.LEAD}), takes=Plan, takes_document=True,
    gives=RevisionShown, status=201, same_status=200, writes=True,
    location="/api/v1/procedures/{procedure}/revisions/{number}",
)  # fmt: skip
def post_procedure(*, db: Writing, given: Plan) -> tuple[RevisionShown, int]:
    """Take a procedure in, new or as a new revision

    201 for a new revision; 200 with the newest one when nothing in it changed.
    """
    shown, new = procedures.add(service(), db, sender(), given)
    return shown, 201 if new else 200


@room.at("GET", "/procedures/<key>", roles=ALL, gives=RevisionShown, etag=True)
def get_procedure(key: str) -> RevisionShown:
    """Read the newest revision of a procedure"""
    return procedures.revision(service(), key)


@room.at(
    "GET", "/procedures/<key>/revisions/<int(min=1, max=999999):number>", roles=ALL,
    gives=RevisionShown, etag=True,
)  # fmt: skip
def get_revision(key: str, number: int) -> RevisionShown:
    """Read one revision of a procedure"""
    return procedures.revision(service(), key, number)
