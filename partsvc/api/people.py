"""Addresses of the people of the workshop; for the lead."""

from __future__ import annotations

from partsvc.api.paging import LINK_HEADER, next_page
from partsvc.api.room import Room
from partsvc.domain.acts.kinds import Role
from partsvc.web.running import service
from partsvc.work import badges, people, signing_in
from partsvc.work.answers import Writing
from partsvc.work.people import (
    NewPerson,
    PeopleShown,
    PeopleWanted,
    PersonChange,
    PersonShown,
)
from partsvc.work.signing_in import NewToken, TokenShown
from partsvc.work.tagging import TagLine

room = Room("people", __name__, description="Who works here, and for what.")
LEAD = frozenset({Role.LEAD})


@room.at("GET", "/people", roles=LEAD, asks=PeopleWanted, gives=PeopleShown, headers=LINK_HEADER)
def get_people(*, asked: PeopleWanted) -> tuple[PeopleShown, dict[str, str]]:
    """List everybody, by sign-in name"""
    page = people.page(service(), asked)
    full = len(page.people) == asked.limit
    return page, next_page("after", page.people[-1].login if full else None)


@room.at(
    "POST", "/people", roles=LEAD, takes=NewPerson, gives=PersonShown, status=201, writes=True,
    location="/api/v1/people/{id}",
)  # fmt: skip
def post_person(*, db: Writing, given: NewPerson) -> PersonShown:
    """Add somebody"""
    return people.add(service(), db, given)


@room.at("GET", "/people/<person>", roles=LEAD, gives=PersonShown, etag=True)
def get_person(person: str) -> PersonShown:
    """Look at somebody's roles"""
    with service().database.reading() as db:
        return people.person(service(), db, person)


@room.at(
    "PATCH", "/people/<person>", roles=LEAD, takes=PersonChange, gives=PersonShown, writes=True,
    etag=True, problems=[409],
)  # fmt: skip
def patch_person(person: str, *, db: Writing, given: PersonChange) -> PersonShown:
    """Change somebody's name, roles or password, or deactivate them

    Deactivating ends every token of the person at once; what they recorded stays.
    """
    found = people.person(service(), db, person)
    room.same(found)
    return people.change(service(), db, found, given)


@room.at(
    "POST", "/people/<person>/tokens", roles=LEAD, takes=NewToken, gives=TokenShown, status=201,
    writes=True, keyed=False,
)  # fmt: skip
def post_token(person: str, *, db: Writing, given: NewToken) -> TokenShown:
    """Make a token by which a program works as somebody

    It is shown this once. Sending again makes another token; there is no idempotency key here,
    because its stored answer would be a secret.
    """
    return signing_in.program_token(service(), db, person, given)


@room.at("POST", "/people/<person>/badge", roles=LEAD, gives=TagLine, status=201, writes=True,
         problems=[409])  # fmt: skip
def post_badge(person: str, *, db: Writing) -> TagLine:
    """Mint a badge for somebody

    A tag that says who they are. Print it as any tag; void it when it is lost.
    """
    return badges.mint_badge(service(), db, person)
