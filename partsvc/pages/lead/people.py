"""The people of the workshop: added, trained, given a password or a badge, and let go."""

from __future__ import annotations

from flask import Response, request
from werkzeug.wrappers import Response as AnyResponse

from partsvc.domain.acts.kinds import Role
from partsvc.errors import Invalid
from partsvc.pages.lead.forms import Form, Values, done
from partsvc.pages.lead.terms import as_they_stand
from partsvc.pages.lead.who import LEAD
from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom
from partsvc.web.running import service
from partsvc.work import badges, people, signing_in, tagging
from partsvc.work.people import NewPerson, PeopleWanted, PersonChange, PersonShown
from partsvc.work.signing_in import NewToken, TokenShown
from partsvc.work.tagging import VoidTag

room = PageRoom("lead-people", __name__)

ON_A_PAGE = 100


@room.page("/lead/people", roles=LEAD)
def everybody() -> Response:
    """Everybody, by sign-in name."""
    after = request.args.get("after", "")
    found = people.page(service(), PeopleWanted(after=after or None, limit=ON_A_PAGE)).people
    more = found[-1].login if len(found) == ON_A_PAGE else ""
    return shown("lead_people.html", people=found, more=more)


@room.page("/lead/people/new", roles=LEAD, methods=("GET", "POST"))
def new_person() -> AnyResponse:
    """Add somebody."""
    form = Form(now={"roles": [Role.TECHNICIAN]})
    if form.sent:
        with form.judged():
            given = form.read(NewPerson)
            with service().database.writing() as db:
                made = people.add(service(), db, given)
            return done(f"/lead/people/{made.id}")
    return shown("lead_person_new.html", form=form, roles=as_they_stand(Role), status=form.status)


@room.page("/lead/people/<person>", roles=LEAD, methods=("GET", "POST"))
def one_person(person: str) -> AnyResponse:
    """Somebody's name, roles, trainings and password."""
    form = Form(now=_typed(_person(person)))
    if form.sent:
        with form.judged():
            change = form.read(PersonChange)
            if not change.roles:
                raise Invalid("Say at least one role.", field="roles")
            return _changed(person, form, change)
    return _person_page(person, form)


@room.page("/lead/people/<person>/access", roles=LEAD, methods=("POST",))
def access(person: str) -> AnyResponse:
    """Take somebody's access away, or give it back."""
    form = Form(now=_typed(_person(person)))
    with form.judged():
        return _changed(person, form, PersonChange(active=form.value("to") == "active"))
    return _person_page(person, refused=form)


@room.page("/lead/people/<person>/erase", roles=LEAD, methods=("POST",))
def erase(person: str) -> AnyResponse:
    """Take the name of somebody who has left out of the service."""
    form = Form(now=_typed(_person(person)))
    with form.judged():
        with service().database.writing() as db:
            found = people.person(service(), db, person)
            form.same(_typed(found))
            people.erase_name(service(), db, found)
        return done(f"/lead/people/{person}")
    return _person_page(person, refused=form)


@room.page("/lead/people/<person>/badge", roles=LEAD, methods=("POST",))
def badge(person: str) -> AnyResponse:
    """Mint a badge."""
    form = Form(now=_typed(_person(person)))
    with form.judged():
        with service().database.writing() as db:
            badges.mint_badge(service(), db, person)
        return done(f"/lead/people/{person}")
    return _person_page(person, refused=form)


@room.page("/lead/people/<person>/badges/<code>/void", roles=LEAD, methods=("POST",))
def void_badge(person: str, code: str) -> AnyResponse:
    """A badge is lost or torn: it is good no longer."""
    form = Form(now=_typed(_person(person)))
    with form.judged():
        given = form.read(VoidTag)
        with service().database.writing() as db:
            tagging.void(service(), db, code, given)
        return done(f"/lead/people/{person}")
    return _person_page(person, refused=form)


@room.page("/lead/people/<person>/token", roles=LEAD, methods=("POST",))
def token(person: str) -> AnyResponse:
    """Make a token for a program; it is shown on this page, this once."""
    asking = Form()
    with asking.judged():
        given = asking.read(NewToken)
        with service().database.writing() as db:
            made = signing_in.program_token(service(), db, person, given)
        return _person_page(person, made=made)
    return _person_page(person, asking=asking)


def _changed(person: str, form: Form, change: PersonChange) -> AnyResponse:
    with service().database.writing() as db:
        again = people.person(service(), db, person)
        form.same(_typed(again))
        people.change(service(), db, again, change)
    return done(f"/lead/people/{person}")


def _person(person: str) -> PersonShown:
    with service().database.reading() as db:
        return people.person(service(), db, person)


def _typed(found: PersonShown) -> Values:
    return {
        "name": found.name,
        "roles": found.roles,
        "qualifications": found.qualifications,
        "active": "yes" if found.active else "no",
    }


def _person_page(
    person: str,
    form: Form | None = None,
    *,
    asking: Form | None = None,
    made: TokenShown | None = None,
    refused: Form | None = None,
) -> Response:
    found = _person(person)
    sent = [one for one in (form, asking, refused) if one]
    return shown(
        "lead_person.html",
        one=found,
        form=form or Form(now=_typed(found), sent=False),
        asking=asking or Form(now={"days": "365"}, sent=False),
        refused=refused,
        made=made,
        roles=as_they_stand(Role),
        badges=badges.badges_of(service(), person),
        status=sent[0].status if sent else 200,
    )
